import type { Round } from "../../history/types.js";
import { findFaultShares, takeOffShares } from "../../history/without-shared.js";
import type { SharedOutcome } from "./types.js";

/**
 * Corrects both rounds for the shared faults of the earlier one: their contribution is subtracted
 * there, and in the re-test unless repaired. Only then do all paths of a family change equally
 * between the rounds.
 */
export function takeOffShared(
  { base, round }: { readonly base: Round; readonly round: Round },
  outcomes: readonly SharedOutcome[],
): { readonly base: Round; readonly round: Round } {
  let [then, now] = [base.paths, round.paths];
  for (const fault of base.shared ?? []) {
    if (fault.against !== "siblings") continue;
    const isMended = outcomes.some((one) => one.fault === fault && one.outcome === "mended");
    const shares = findFaultShares(fault, then);
    then = takeOffShares(then, fault, shares);
    if (!isMended) now = takeOffShares(now, fault, shares);
  }
  return { base: { ...base, paths: then }, round: { ...round, paths: now } };
}
