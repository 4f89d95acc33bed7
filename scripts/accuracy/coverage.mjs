/**
 * How often the stated 95 % interval holds the truth, reading by reading, over random returns.
 *
 *     node scripts/accuracy/coverage.mjs --returns 1000 --seed 1 --kind ordinary
 *
 * `--json` prints what `accuracy.mjs --from` puts together; `--state` says there which program was counted.
 */
import { parseArgs } from "node:util";
import { runOnThreads } from "../../dist/threads/thread-pool.js";
import { cases } from "./cases/index.mjs";
import { runCoverageTask } from "./coverage-task.mjs";
import { joined } from "./outcomes.mjs";

const job = { module: new URL("coverage-task.mjs", import.meta.url), run: runCoverageTask };
/** Returns between two words to the one who waits. */
const perTask = 10;

/**
 * @param returns of each kind
 * @param kinds names of the kinds, all when left out
 * @returns rows { id, made, held, bounds, boundsHeld, high, squares } in the order of the kinds
 */
export async function coverage(returns, seed, kinds = Object.keys(cases), onDone = () => {}) {
  const tasks = kinds.flatMap((kind) =>
    Array.from({ length: Math.ceil(returns / perTask) }, (_, k) => {
      const from = k * perTask;
      return { kind, seed, from, to: Math.min(returns, from + perTask) };
    }),
  );
  return joined(await runOnThreads(job, tasks, (done) => onDone(done / tasks.length)));
}

if (process.argv[1] === new URL(import.meta.url).pathname) {
  const { values } = parseArgs({
    options: {
      returns: { type: "string", default: "1000" },
      seed: { type: "string", default: "1" },
      kind: { type: "string", multiple: true },
      json: { type: "boolean", default: false },
      state: { type: "string" },
    },
  });
  const { state } = values;
  const [returns, seed] = [Number(values.returns), Number(values.seed)];
  const kinds = values.kind ?? Object.keys(cases);
  const rows = await coverage(returns, seed, kinds);
  if (values.json)
    process.stdout.write(`${JSON.stringify({ returns, seed, kinds, state, rows })}\n`);
  for (const { id, made, held, bounds, boundsHeld, high, squares } of values.json ? [] : rows) {
    const share = made ? ((100 * held) / made).toFixed(1) : "–";
    const bound = bounds ? `${((100 * boundsHeld) / bounds).toFixed(1)} % of ${bounds} bounds` : "";
    // In standard deviations, where the uncertainty is two of them: near 1 for a normal error.
    const spread = made ? `spread ${(2 * Math.sqrt(squares / made)).toFixed(2)}` : "";
    const side = made > held ? `${high} of ${made - held} high` : "";
    process.stdout.write(
      `${id.padEnd(17)} ${share.padStart(6)} % of ${String(made).padEnd(7)} ${spread.padEnd(12)} ${side.padEnd(16)} ${bound}\n`,
    );
  }
}
