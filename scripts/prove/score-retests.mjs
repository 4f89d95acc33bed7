/** Verdicts of re-tests beside the truth: counts only. */
import { retestKinds } from "./draw-shared.mjs";
import { readVerdict } from "./read-answers.mjs";

export const verdicts = ["close", "do-not-close", "cannot-tell"];

/**
 * @typedef {object} RetestVerdict
 * @property {number} seed
 * @property {import("./draw-shared.mjs").RetestKind} kind
 * @property {string} what was done
 * @property {boolean} counts
 * @property {import("./read-answers.mjs").Verdict} verdict
 */

/**
 * @param {{ seed: number }} drawn
 * @param {import("./run-retests.mjs").RetestRun} run
 * @returns {RetestVerdict}
 */
export function judgeRun({ seed }, { kind, what, seen, retest }) {
  // What no round had shown, no re-test can find unmended.
  const counts = seen || kind !== "not mended";
  return { seed, kind, what, counts, verdict: readVerdict(retest) };
}

/**
 * All figures of a run. Only what was repaired, and nothing else changed, may be closed.
 *
 * @param {readonly RetestVerdict[]} judged
 */
export function scoreRetests(judged) {
  const counted = judged.filter(({ counts }) => counts);
  const row = (list) => ({
    of: list.length,
    ...Object.fromEntries(
      verdicts.map((verdict) => [verdict, list.filter((one) => one.verdict === verdict).length]),
    ),
  });
  const good = counted.filter(({ kind }) => kind === "mended");
  return {
    retests: judged.length,
    leftOut: judged.length - counted.length,
    kinds: Object.fromEntries(
      retestKinds.map((kind) => [kind, row(counted.filter((one) => one.kind === kind))]),
    ),
    good: row(good),
    falseCloses: counted.filter(({ kind, verdict }) => kind !== "mended" && verdict === "close"),
    heldBack: good.filter(({ verdict }) => verdict !== "close"),
  };
}
