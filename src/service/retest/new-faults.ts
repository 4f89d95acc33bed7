import { getHarmDirection } from "../../history/compare/thresholds.js";
import { listSeriousFindings } from "../../history/standing.js";
import type { RoundFinding, RoundPath } from "../../history/types.js";
import { type HeldRounds, listReference } from "./judge-path.js";
import { computeCommonMove, getProbeThreshold, grantedShare, readProbe } from "./probe.js";

/** A path that was in order, or faulty in another way, before the desk was opened. */
export interface NewFault {
  readonly path: RoundPath;
  /** New findings, the largest first. */
  readonly findings: readonly RoundFinding[];
}

/** From so many standard deviations on a change is no chance, as between any two rounds. */
const realDeviations = 3.5;

/**
 * Findings that are new and got significantly worse; for a path not measured in the earlier round,
 * all findings.
 */
export function findNewFaults(held: HeldRounds): readonly NewFault[] {
  const { base, round, now } = held;
  return round.paths.flatMap((path) => {
    const was = base.paths.find((one) => one.path === path.path);
    if (was === undefined) return [];
    const known = new Set(listSeriousFindings(was).map(({ reading }) => reading));
    const findings = listSeriousFindings({ findings: now.get(path.path) ?? [] }).filter(
      (finding) =>
        !known.has(finding.reading) &&
        (was.status !== "measured" || hasGotWorse(finding, was, path, held)),
    );
    return findings.length === 0 ? [] : [{ path, findings }];
  });
}

function hasGotWorse(
  finding: RoundFinding,
  was: RoundPath,
  is: RoundPath,
  held: HeldRounds,
): boolean {
  // Any change of polarity counts.
  const [then, now] = [readProbe(was, finding), readProbe(is, finding)];
  // Nothing to compare with: the finding is new.
  if (then === undefined || now === undefined || then.unit !== now.unit) return true;
  const reference = listReference(held.pairs, was.family).filter(
    ({ now: one }) => one.path !== is.path,
  );
  const common = computeCommonMove(reference, finding, held.conditions);
  const granted = grantedShare * getProbeThreshold(finding, then.value);
  const own = now.value - then.value - (common?.change ?? 0);
  const standard = Math.hypot(
    then.uncertainty / 2,
    now.uncertainty / 2,
    common?.error ?? 0,
    granted,
  );
  const harm = finding.atHz === undefined ? getHarmDirection(finding.reading) : "both";
  const forWorse =
    harm === "both" ? own * finding.deviation > 0 : harm === "down" ? own < 0 : own > 0;
  return forWorse && Math.abs(own) > realDeviations * standard;
}
