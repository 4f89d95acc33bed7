/** What was said of shared faults beside the truth: counts only, nothing is judged. */
import { rightAnswers } from "./answers.mjs";
import { readPulledStrips, readSharedAnswers } from "./read-answers.mjs";
import { sharedTruths } from "./shared-truth.mjs";

/** Share of paths that an answer and the truth must have in common. */
const sameSet = 0.8;

/**
 * One round beside the truth.
 *
 * @typedef {object} SharedVerdict
 * @property {number} seed
 * @property {string} fault
 * @property {"sound" | "first" | "later"} round
 * @property {boolean} hasShared
 * @property {boolean} hasSingles
 * @property {boolean} counts whether such a round can show the fault
 * @property {boolean} named whether the first shared part named is the right one, on its paths
 * @property {string} said
 * @property {readonly string[]} wronglyPulled strips
 * @property {readonly string[]} wronglyCalled healthy paths called faulty
 * @property {readonly { path: string, name: string, said: string, right: boolean }[]} singles
 */

/**
 * @param {import("./draw-shared.mjs").SharedCase} drawn
 * @param {import("./run-shared.mjs").SharedRun} run
 * @returns {SharedVerdict}
 */
export function judgeShared(drawn, { round, hasShared, hasSingles, result, plan }) {
  const { seed, placed, sound } = drawn;
  const truth = sharedTruths[placed.fault];
  const singles = hasSingles ? drawn.singles : [];
  const ill = new Set(singles.map(({ path }) => path));
  const illStrips = new Set([...ill].map((path) => path.split("/")[0]));
  const answers = readSharedAnswers(result);
  const { output = "capacitor" } = sound;
  return {
    seed,
    fault: placed.fault,
    round,
    hasShared,
    hasSingles,
    counts: round === "later" || placed.severity >= truth.firstRoundFrom,
    named: hasShared && answers.length > 0 && isRight(answers[0], drawn, truth, ill, result),
    said: answers
      .map(({ kind, name }) => (name === undefined ? kind : `${kind} ${name}`))
      .join(", "),
    wronglyPulled: readPulledStrips(plan).filter((strip) => !illStrips.has(strip)),
    wronglyCalled: result.paths
      .filter(({ path, causes: [first] }) => !ill.has(path) && first?.kind === "fault")
      .map(({ path }) => path),
    singles: singles.map(({ path, name }) => {
      const { input, causes } = result.paths.find((one) => one.path === path);
      const said = causes[0]?.cause ?? "nothing";
      return { path, name, said, right: rightAnswers(name, { input, output }).includes(said) };
    }),
  };
}

function isRight(answer, { paths, part, placed }, { kinds }, ill, result) {
  if (!kinds.includes(answer.kind)) return false;
  if (part !== undefined && answer.name !== undefined && answer.name !== part) return false;
  const all = result.paths.map(({ path }) => path).filter((path) => !ill.has(path));
  const said = new Set(answer.paths);
  const matches = (hit) => overlap(all, said, new Set(hit)) >= sameSet;
  // Which side of a change of level is off cannot be seen from within.
  const rest = all.filter((path) => !paths.includes(path));
  return matches(paths) || (placed.fromTurn !== undefined && matches(rest));
}

/** Paths in both sets per path in either. */
function overlap(all, one, other) {
  const both = all.filter((path) => one.has(path) && other.has(path)).length;
  const either = all.filter((path) => one.has(path) || other.has(path)).length;
  return either === 0 ? 0 : both / either;
}

/**
 * All figures of a run.
 *
 * @param {readonly SharedVerdict[]} verdicts
 */
export function scoreShared(verdicts) {
  const shared = verdicts.filter((one) => one.hasShared);
  const sound = verdicts.filter((one) => !one.hasShared);
  const row = (list) => {
    const counted = list.filter(({ counts }) => counts);
    const singles = list.flatMap((one) => one.singles);
    return {
      rounds: list.length,
      named: { of: counted.length, count: counted.filter(({ named }) => named).length },
      pulled: sum(list, ({ wronglyPulled }) => wronglyPulled.length),
      called: sum(list, ({ wronglyCalled }) => wronglyCalled.length),
      singles: { of: singles.length, count: singles.filter(({ right }) => right).length },
    };
  };
  const rounds = [
    ["first", false],
    ["first", true],
    ["later", false],
    ["later", true],
  ];
  return {
    faults: Object.fromEntries(
      [...new Set(shared.map(({ fault }) => fault))].map((fault) => [
        fault,
        row(shared.filter((one) => one.fault === fault)),
      ]),
    ),
    rounds: rounds.map(([round, hasSingles]) => ({
      round,
      hasSingles,
      ...row(shared.filter((one) => one.round === round && one.hasSingles === hasSingles)),
    })),
    all: row(shared),
    sound: {
      rounds: sound.length,
      named: sound.filter(({ said }) => said !== "").length,
      pulled: sum(sound, ({ wronglyPulled }) => wronglyPulled.length),
      called: sum(sound, ({ wronglyCalled }) => wronglyCalled.length),
    },
  };
}

const sum = (list, figure) => list.reduce((total, one) => total + figure(one), 0);
