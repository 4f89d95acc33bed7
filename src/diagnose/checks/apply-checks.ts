import { mostCertain } from "../../rank/certainty.js";
import type { CauseKind } from "../cause-kind.js";
import { noneOfThese } from "../causes/none-of-these.js";
import { causeKinds, describeCause, findCause } from "../causes.js";
import type { Evidence } from "../evidence.js";
import type { Cause } from "../types.js";
import { findCheck } from "./check-kinds.js";
import { computeGoneShare } from "./compute-gone-share.js";
import type { CheckResult } from "./types.js";

/**
 * Probability that a control that changes nothing is faulty and was not just left untouched (a
 * guess, on the careful side).
 */
const idleShare = 0.7;
/**
 * Prior of a cause that no round shows, before the check for it has cleared what was seen (a guess,
 * on the careful side).
 */
const clearedShare = 0.1;
const leastProbability = 0.005;

/**
 * Adds the results of checks to the causes of a path: each is weighed again by how often it gives
 * that result (Bayes). A control that changes nothing names its own cause, and so does one that,
 * worked a dozen times, clears a fault whose cause no round can show.
 *
 * @param causes of the path, from the round; may be empty
 * @param results of the path, oldest first
 * @returns causes, the likeliest first; unchanged if nothing was checked
 * @example
 * const causes = ["low-cut-left-in", "dried-coupling-capacitor"].map((id) => ({
 *   ...describeCause(findCause(id)),
 *   probability: 0.5,
 *   evidence: [],
 * }));
 *
 * const gone = { check: "low-cut", outcome: "gone", source: "n1" };
 * const [first] = applyChecks(causes, [gone]);
 * first.cause; // "low-cut-left-in"
 * applyChecks(causes, []) === causes; // true
 */
export function applyChecks(
  causes: readonly Cause[],
  results: readonly CheckResult[],
): readonly Cause[] {
  return results.reduce<readonly Cause[]>(applyOne, causes);
}

function applyOne(known: readonly Cause[], result: CheckResult): readonly Cause[] {
  const kind = findCheck(result.check);
  if (kind === undefined) return known;
  const { outcome, source } = result;
  const seen: Evidence = { code: "checked", check: kind.id, outcome, source };
  if (outcome === "idle") return nameIdle(known, kind.id, seen);
  const causes = outcome === "gone" ? addCleared(known, kind.id) : known;
  const likelihood = (id: string) => {
    const cause = findCause(id);
    const gone = cause === undefined ? 0.5 : computeGoneShare(cause, kind.id);
    return result.outcome === "gone" ? gone : 1 - gone;
  };
  const before = causes.reduce((sum, { probability = 0 }) => sum + probability, 0);
  const left = Math.max(0, 1 - before) * likelihood(noneOfThese.id);
  const weights = causes.map(({ cause, probability = 0 }) => probability * likelihood(cause));
  const after = weights.reduce((sum, weight) => sum + weight, left);
  // Of causes present together, as many as before stay.
  const total = after / Math.max(1, before);
  return causes
    .map((one, k): Cause => {
      if (one.probability === undefined) return one;
      const probability = Math.min(mostCertain, Math.round((100 * weights[k]) / total) / 100);
      const speaks = likelihood(one.cause) >= total;
      return {
        ...one,
        probability,
        ...(speaks
          ? { evidence: [...one.evidence, seen] }
          : { against: [...(one.against ?? []), seen] }),
      };
    })
    .filter(({ probability = 1 }) => probability >= leastProbability)
    .sort((a, b) => (b.probability ?? 0) - (a.probability ?? 0));
}

/** The causes, completed by the one that only its own check can clear. */
function addCleared(causes: readonly Cause[], check: string): readonly Cause[] {
  const found = causeKinds.find((kind: CauseKind) => kind.cleared?.some((id) => id === check));
  if (found === undefined || causes.some(({ cause }) => cause === found.id)) return causes;
  const others = causes.map((one) =>
    one.probability === undefined
      ? one
      : { ...one, probability: one.probability * (1 - clearedShare) },
  );
  return [...others, { ...describeCause(found), probability: clearedShare, evidence: [] }];
}

function nameIdle(causes: readonly Cause[], check: string, seen: Evidence): readonly Cause[] {
  const found = causeKinds.find((kind: CauseKind) => kind.idles?.some((id) => id === check));
  if (found === undefined) return causes;
  const named: Cause = {
    ...describeCause(found),
    probability: idleShare,
    evidence: [seen],
  };
  return [...causes.filter(({ cause }) => cause !== named.cause), named].sort(
    (a, b) => (b.probability ?? 0) - (a.probability ?? 0),
  );
}
