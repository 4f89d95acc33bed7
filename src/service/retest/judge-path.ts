import { getAbsence } from "../../history/absences.js";
import type { Conditions } from "../../history/compare/conditions.js";
import { getReason, type StoredReason } from "../../history/get-reason.js";
import { getCurveId, listSeriousFindings } from "../../history/standing.js";
import type { Round, RoundFinding } from "../../history/types.js";
import { findCurveOfFinding } from "../../measure/curve-kinds.js";
import { findReadingKind, getReadingId } from "../../measure/reading-kinds.js";
import { unwrapReadings } from "../../measure/unwrap.js";
import { computeScatter } from "../../rank/robust-stats.js";
import { toDifferenceUnit } from "../../text/level-units.js";
import type { FindingNow, RetestFigure } from "./figures.js";
import {
  addsAsPower,
  computeCommonMove,
  getProbeThreshold,
  grantedShare,
  isLevel,
  type PathBothTimes,
  type ProbeValue,
  readProbe,
} from "./probe.js";
import { computeWithFault, hasCleared, hasPowerCleared } from "./remaining.js";
import { minUntouched, wasInOrder } from "./shared-changes.js";
import { findSumOf, type SumOutcome } from "./sum-outcome.js";
import type { Outcome } from "./types.js";

/** A path or a meter reading of an item. */
export interface ItemPart {
  readonly outcome: Outcome;
  readonly figure: RetestFigure;
}

/** Both rounds on one scale, and which parts can be compared. */
export interface HeldRounds {
  readonly base: Round;
  readonly round: Round;
  readonly conditions: Conditions;
  readonly pairs: {
    readonly untouched: readonly PathBothTimes[];
    readonly all: readonly PathBothTimes[];
  };
  /** Findings of every re-tested path among the siblings of the earlier round. */
  readonly now: ReadonlyMap<string, readonly RoundFinding[]>;
  /** Judged sums of strips; absent if each was measured alone. */
  readonly sums?: readonly SumOutcome[];
}

/**
 * Siblings that show the common change of a family: untouched ones or, if there are too few, all
 * that were good in the earlier round. Repaired ones changed because of the repair.
 */
export function listReference(
  { untouched, all }: HeldRounds["pairs"],
  family: string,
): readonly PathBothTimes[] {
  const own = ({ was }: PathBothTimes) => was.family === family;
  const apart = untouched.filter(own);
  return apart.length >= minUntouched ? apart : all.filter(own).filter(wasInOrder);
}

/** Judges a path that was faulty in the earlier round. */
export function judgePath(name: string, held: HeldRounds): ItemPart {
  const { base, round, now } = held;
  const was = base.paths.find(({ path }) => path === name);
  const is = round.paths.find(({ path }) => path === name);
  if (was === undefined || is === undefined) {
    return { outcome: "not shown", figure: { code: "not-again", path: name } };
  }
  const after = listSeriousFindings({ findings: now.get(name) ?? [] });
  const dead = after.find(({ reading }) => reading === "return");
  const before = listSeriousFindings(was);
  if (before.some(({ reading }) => reading === "return")) {
    if (is.status !== "measured") {
      return {
        outcome: dead ? "unchanged" : "not shown",
        figure: toNotMeasured(name, is),
      };
    }
    const outcome = after.length === 0 ? "mended" : "better";
    const finding = outcome === "better" ? { finding: after[0] } : {};
    return { outcome, figure: { code: "signal-back", path: name, ...finding } };
  }
  if (dead) return { outcome: "worse", figure: { code: "signal-gone", path: name } };
  if (is.status !== "measured") {
    return { outcome: "not shown", figure: toNotMeasured(name, is) };
  }
  const found = before.map((finding) => judgeFinding(finding, { was, now: is }, after, held));
  const findings = before.slice(0, 2).map((finding, k) => ({ finding, now: found[k].now }));
  return {
    outcome: combineFindings(before, found),
    figure: { code: "findings", path: name, findings },
  };
}

function toNotMeasured(path: string, stored: StoredReason): RetestFigure {
  return { code: "not-measured", path, ...getReason(stored) };
}

/** Outcome of one finding of a path. */
interface JudgedFinding {
  readonly outcome: Outcome;
  readonly now: FindingNow;
}

/** Judges whether a finding is gone, and gives its reading now. */
function judgeFinding(
  finding: RoundFinding,
  pair: PathBothTimes,
  after: readonly RoundFinding[],
  held: HeldRounds,
): JudgedFinding {
  const { reading } = finding;
  const unit = toDifferenceUnit(finding.unit);
  const still = after.filter((one) => one.reading === reading);
  const refused = held.conditions.refused(getCurveId(reading));
  const then = readProbe(pair.was, finding);
  const is = besideExpected(readProbe(pair.now, finding), finding);
  const sum = findSumOf(pair.now.path, reading, held.sums);
  if (is === undefined && then !== undefined && sum !== undefined && sum.unit === then.unit) {
    return judgeInSum(finding, pair, { then, sum, held });
  }
  if (is === undefined || then === undefined) {
    const because = getAbsence(pair.now, reading);
    return {
      outcome: "cannot tell",
      now: { code: "not-read", ...(because === undefined ? {} : { because }) },
    };
  }
  if (refused !== undefined || then.unit !== is.unit) {
    const because = refused ?? { code: "other-unit", earlier: then.unit, later: is.unit };
    return { outcome: "cannot tell", now: { code: "not-comparable", because } };
  }
  const move = moveOf(finding, pair, then, is, held);
  if (still.length > 0) {
    const least = still.reduce((a, b) => (Math.abs(b.deviation) < Math.abs(a.deviation) ? b : a));
    const nearer = Math.abs(least.deviation) < Math.abs(finding.deviation);
    return {
      outcome: move.isReal ? (nearer ? "better" : "worse") : "unchanged",
      now: { code: "still", off: least.deviation, unit },
    };
  }
  const off = is.value - finding.expected - move.shift;
  if (move.isClear) {
    return { outcome: "mended", now: { code: "alike", off, unit } };
  }
  if (move.withFault === undefined) {
    return { outcome: "cannot tell", now: { code: "unclear", off, unit } };
  }
  const withFault = move.withFault - finding.expected - move.shift;
  return {
    outcome: "cannot tell",
    now: { code: "hidden", off, unit, withFault, riseDb: move.rise },
  };
}

/**
 * Judges a finding whose reading is now a sum: the strip has no more than the sum. It is gone if it
 * would exceed the sum, and the sum is as expected.
 */
function judgeInSum(
  finding: RoundFinding,
  pair: PathBothTimes,
  { then, sum, held }: { then: ProbeValue; sum: SumOutcome; held: HeldRounds },
): JudgedFinding {
  const bound = { value: sum.value, unit: sum.unit, uncertainty: 0, bound: "upper" } as const;
  const isGone = addsAsPower(finding) && moveOf(finding, pair, then, bound, held).isClear;
  const strips = sum.strips.length;
  return isGone && sum.standing === "within"
    ? { outcome: "mended", now: { code: "gone-in-sum", strips } }
    : { outcome: "cannot tell", now: { code: "hidden-in-sum", strips } };
}

/** A correct phase may be measured a whole turn away. */
function besideExpected(
  is: ProbeValue | undefined,
  { reading, expected }: RoundFinding,
): ProbeValue | undefined {
  return is && unwrapReadings({ [reading]: is }, { [reading]: expected })[reading];
}

interface Move {
  /** Whether the interval excludes the reading with the fault still present. */
  readonly isClear: boolean;
  /** Whether it changed significantly. */
  readonly isReal: boolean;
  /** Change of the siblings. */
  readonly shift: number;
  /** Reading with the fault still present; only for readings that add as power. */
  readonly withFault?: number;
  /** Rise of the siblings' reading beyond that of their level, decibels. */
  readonly rise: number;
}

function moveOf(
  finding: RoundFinding,
  pair: PathBothTimes,
  then: ProbeValue,
  is: ProbeValue,
  { base, pairs, conditions }: HeldRounds,
): Move {
  const { family, path } = pair.was;
  const reference = listReference(pairs, family).filter((one) => one.was.path !== path);
  const common = computeCommonMove(reference, finding, conditions);
  const granted = grantedShare * getProbeThreshold(finding, then.value);
  const shift = common?.change ?? 0;
  const known = {
    before: then.value,
    beforeUncertainty: then.uncertainty,
    expected: finding.expected,
    now: is.value,
    nowUncertainty: is.uncertainty,
    shift,
    // Without siblings measured again, the common change is unknown.
    shiftError: common?.error ?? 4 * granted,
    repeat: granted,
  };
  const measured = Math.hypot(known.beforeUncertainty / 2, known.nowUncertainty / 2);
  const standard = Math.hypot(measured, known.shiftError, granted);
  const isReal = Math.abs(is.value - then.value - shift) > realDeviations * standard;
  if (!addsAsPower(finding)) return { isClear: hasCleared(known), isReal, shift, rise: 0 };
  const level =
    isLevel(then.unit) && conditions.calibration === "none"
      ? computeCommonMove(reference, { reading: getReadingId("level") }, conditions)
      : undefined;
  const siblings = base.paths.flatMap((one) => {
    if (one.family !== family || one.path === path || one.status !== "measured") return [];
    const found = readProbe(one, finding);
    return found === undefined ? [] : [found.value];
  });
  const scatter = siblings.length < 3 ? 0 : computeScatter(siblings).scale;
  const power = { ...known, scatter, levelShift: level?.change ?? 0 };
  return {
    isClear: hasPowerCleared(power),
    isReal,
    shift,
    withFault: computeWithFault(power),
    rise: Math.max(0, shift - power.levelShift),
  };
}

/** Standard deviations above which a change is significant, as between any two rounds. */
const realDeviations = 3.5;

function combineFindings(
  findings: readonly RoundFinding[],
  parts: readonly JudgedFinding[],
): Outcome {
  const clear = new Set(
    parts.flatMap(({ outcome }, k) =>
      outcome === "mended" ? [getAspect(findings[k].reading)] : [],
    ),
  );
  return combineOutcomes(
    parts.map(({ outcome }, k) =>
      outcome === "cannot tell" && clear.has(getAspect(findings[k].reading)) ? "mended" : outcome,
    ),
  );
}

/** Findings of one aspect are different measures of one thing: if one is clear, all are. */
export function getAspect(finding: string): string {
  return (findReadingKind(finding) ?? findCurveOfFinding(finding))?.aspect ?? finding;
}

/** The worst of several outcomes; repaired only if all are. */
export function combineOutcomes(outcomes: readonly Outcome[]): Outcome {
  if (outcomes.length === 0) return "not shown";
  if (outcomes.includes("worse")) return "worse";
  const has = (one: Outcome) => outcomes.includes(one);
  if (has("unchanged") || has("better")) {
    return has("better") || has("mended") ? "better" : "unchanged";
  }
  if (has("cannot tell")) return "cannot tell";
  return has("not shown") ? "not shown" : "mended";
}
