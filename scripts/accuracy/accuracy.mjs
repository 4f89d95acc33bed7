/**
 * Every target with the figure reached, and how often the stated uncertainties hold.
 *
 *     npm run accuracy -- --returns 1000 --seed 1            tables on stdout
 *     npm run accuracy -- --returns 1000 --seed 1 --write    docs/accuracy.md made anew
 *
 * `--json` prints all of it for programs. Exit code 1 where a target is missed.
 */
import { parseArgs } from "node:util";
import { coverage } from "./coverage.mjs";
import { accuracyPage, accuracyText, writePage } from "./page.mjs";
import { targets } from "./targets.mjs";

const { values } = parseArgs({
  options: {
    returns: { type: "string", default: "1000" },
    seed: { type: "string", default: "1" },
    json: { type: "boolean", default: false },
    write: { type: "boolean", default: false },
  },
});
const returns = whole("returns", 1);
const seed = whole("seed", 0);
const say = (text) => process.stderr.write(`${text}\n`);

const begun = performance.now();
const reached = await targets();
say(`targets worked out in ${seconds()} s`);
let told = 0;
const rows = await coverage(returns, seed, undefined, (share) => {
  if (share < told + 0.1) return;
  told = share;
  say(`${Math.round(100 * share)} % of the returns after ${seconds()} s`);
});
if (values.json) {
  process.stdout.write(`${JSON.stringify({ returns, seed, targets: reached, coverage: rows })}\n`);
} else {
  const text = accuracyText(reached, rows);
  process.stdout.write(`${text.targets}\n\n${text.coverage}\n`);
}
if (values.write) writePage(accuracyPage(reached, rows, { returns, seed }));
if (reached.some(({ met }) => met === false)) process.exitCode = 1;

function seconds() {
  return ((performance.now() - begun) / 1000).toFixed(0);
}

function whole(name, least) {
  const value = Number(values[name]);
  if (Number.isInteger(value) && value >= least) return value;
  say(`--${name} ${values[name]}: a whole number from ${least} on is needed.`);
  process.exit(2);
}
