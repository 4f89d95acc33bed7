/**
 * The proving ground of what strips share, and of the gate before the desk is closed.
 *
 *     npm run prove -- --shared                       every shared fault once
 *     npm run prove -- --shared --seed 7 --desks 1 --verbose
 *     npm run prove -- --shared --strips 60         desks of so many strips, instead of 9 to 12
 *     npm run prove -- --gate                         40 desks with five re-tests each
 *     npm run prove -- --gate --stereo              each desk recorded in stereo
 *     npm run prove -- --gate --merge a.json,b.json   runs with --json in pieces, counted as one
 *
 * Both play the quick signal unless `--profile` names another.
 */
import { readFileSync, writeSync } from "node:fs";
import { drawRetestDesk, drawSharedCase, sharedNames } from "./draw-shared.mjs";
import { runRetests } from "./run-retests.mjs";
import { runSharedCase } from "./run-shared.mjs";
import { judgeRun, scoreRetests } from "./score-retests.mjs";
import { judgeShared, scoreShared } from "./score-shared.mjs";
import { retestTables, sharedTables } from "./shared-tables.mjs";

/**
 * @typedef {object} Proof
 * @property {string} name of the option
 * @property {number} desks when none are asked for
 * @property {(seed: number, profile: string, asked: { strips?: number, stereo?: boolean }) => Promise<readonly object[]>} run one desk
 * @property {(judged: readonly object[]) => object} score
 * @property {(figures: object) => string} tables
 * @property {(one: object) => string | undefined} line what to tell of it while the run goes on
 * @property {(judged: readonly object[]) => string} brief
 */

/** @type {Proof} */
export const sharedProof = {
  name: "shared",
  desks: sharedNames.length,
  run: async (seed, profile, { strips }) => {
    const drawn = drawSharedCase(seed, strips);
    return (await runSharedCase(drawn, profile)).map((run) => judgeShared(drawn, run));
  },
  score: scoreShared,
  tables: sharedTables,
  brief: (judged) => {
    const shared = judged.filter(({ hasShared }) => hasShared);
    const named = shared.filter((one) => one.named).length;
    const pulled = judged.reduce((sum, { wronglyPulled }) => sum + wronglyPulled.length, 0);
    return `${shared[0].fault}: named ${named} of ${shared.length}, ${pulled} strips wrongly pulled`;
  },
  line: (one) =>
    `  ${one.round}${one.hasSingles ? ", singles" : ""}: said ${one.said || "nothing"}; pulled ${one.wronglyPulled.join(" ") || "none"}; called ${one.wronglyCalled.join(" ") || "none"}${one.singles.map(({ path, name, said, right }) => `; ${path} ${name}: ${right ? "*" : ""}${said}`).join("")}`,
};

/** @type {Proof} */
export const gateProof = {
  name: "gate",
  desks: 40,
  run: async (seed, profile, { stereo }) => {
    const drawn = drawRetestDesk(seed, stereo);
    return (await runRetests(drawn, profile)).map((run) => judgeRun(drawn, run));
  },
  score: scoreRetests,
  tables: retestTables,
  brief: (judged) => judged.map(({ kind, verdict }) => `${kind}: ${verdict}`).join(", "),
  line: ({ kind, what, verdict, counts }) =>
    `  ${kind}: ${what}; ${verdict}${counts ? "" : " (left out)"}`,
};

/**
 * Counts pieces of a proof, each printed with `--json`, as one run.
 *
 * @param {Proof} proof
 * @param {readonly string[]} files
 */
export function mergeProofs(proof, files) {
  const runs = files.map((file) => JSON.parse(readFileSync(file, "utf8")));
  const seen = new Map();
  for (const { judged } of runs) {
    // A desk that two pieces have in common counts once.
    const seeds = new Set(judged.map(({ seed }) => seed));
    for (const seed of seeds) {
      if (!seen.has(seed))
        seen.set(
          seed,
          judged.filter((one) => one.seed === seed),
        );
    }
  }
  const pieces = runs.map(({ seed, desks, profile }) => `${desks} from seed ${seed}, ${profile}`);
  const text = [
    `Desks: ${pieces.join("; ")}.`,
    proof.tables(proof.score([...seen.values()].flat())),
  ];
  writeSync(1, `${text.join("\n\n")}\n`);
}

/**
 * Runs a proof desk by desk and prints its figures.
 *
 * @param {Proof} proof
 * @param {{ desks?: number, seed: number, profile?: string, strips?: number, stereo?: boolean, json: boolean, verbose: boolean }} asked
 */
export async function runProof(
  proof,
  { desks = proof.desks, seed, profile = "quick", strips, stereo, json, verbose },
) {
  const say = (text) => process.stderr.write(`${text}\n`);
  const begun = performance.now();
  const judged = [];
  let done = 0;
  // What is known by then is told, as prove.mjs does.
  const onSignal = (code) => () => {
    if (done > 0) tell();
    process.exit(code);
  };
  process.once("SIGINT", onSignal(130));
  process.once("SIGTERM", onSignal(143));
  for (let k = 0; k < desks; k++) {
    const verdicts = await proof.run(seed + k, profile, { strips, stereo });
    judged.push(...verdicts);
    done++;
    say(`seed ${seed + k}: ${proof.brief(verdicts)}`);
    if (verbose) for (const one of verdicts) say(proof.line(one));
  }
  tell();

  function tell() {
    const figures = proof.score(judged);
    const seconds = (performance.now() - begun) / 1000;
    const again = `npm run prove -- --${proof.name} --desks ${done} --seed ${seed} --profile ${profile}${strips === undefined ? "" : ` --strips ${strips}`}${stereo ? " --stereo" : ""}`;
    const text = [`\`\`\`sh\n${again}\n\`\`\``, proof.tables(figures)].join("\n\n");
    const run = { desks: done, seed, profile, seconds, ...figures, judged };
    writeSync(1, `${json ? JSON.stringify(run) : text}\n`);
    const short = done < desks ? `, cut short after ${done} of ${desks} desks` : "";
    say(`${seconds.toFixed(0)} s in all${short}`);
  }
}
