import { median } from "../../dsp/robust.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import { findReadingKind, getShareDomain } from "../../measure/reading-kinds.js";
import type { Readings } from "../../measure/types.js";
import { getCurveId } from "../standing.js";
import type { MeasuredReferenceTurn, Round, RoundReference } from "../types.js";

/** A change that families of paths have in common. */
export interface ChangeInCommon {
  readonly reading: string;
  readonly atHz?: number | undefined;
  readonly families: readonly string[];
  /** Now minus then. */
  readonly change: number;
}

/** Whether the reference path made the same change: as a whole, in part, or not. */
export type ReferenceSide = "shows" | "partly" | "clean";

/**
 * Limits of the share that counts as the whole change, or as none of it: for added power, and for a
 * shift.
 */
const ofPower = { whole: 0.4, none: 0.1 } as const;
const ofShift = { whole: 0.6, none: 0.25 } as const;

/**
 * What the reference paths of two rounds show about changes that their paths have in common:
 * whether they arise downstream of the point where it enters, or upstream.
 *
 * @param earlier and `later` in one scale
 * @returns a reader; undefined if one round has no reference path, or it entered elsewhere
 */
export function createReferenceSideReader(
  earlier: Round,
  later: Round,
): ((change: ChangeInCommon) => ReferenceSide | undefined) | undefined {
  const [was, is] = [getTurn(earlier.reference), getTurn(later.reference)];
  if (!was || !is || earlier.reference?.into !== later.reference?.into) return undefined;
  return ({ reading, atHz, families, change }) => {
    const [a, b] = [was, is].map((one) => readTurn(one, reading, atHz));
    if (a === undefined || b === undefined || a.unit !== b.unit || change === 0) return undefined;
    if (!isPower(reading, atHz) || change < 0) return grade((b.value - a.value) / change, ofShift);
    const usual = readMedian(later, families, reading, atHz);
    if (usual === undefined) return undefined;
    const power = (db: number) => 10 ** ((db - usual) / 10);
    return grade((power(b.value) - power(a.value)) / (1 - power(usual - change)), ofPower);
  };
}

function grade(share: number, { whole, none }: { whole: number; none: number }): ReferenceSide {
  if (share >= whole) return "shows";
  return share <= none ? "clean" : "partly";
}

/** The first turn, or the last if only that was measured. */
function getTurn(reference: RoundReference | undefined): MeasuredReferenceTurn | undefined {
  return reference?.turns.find(({ status }) => status === "measured");
}

interface Figure {
  readonly value: number;
  readonly unit: string;
}

type Measured = Pick<MeasuredReferenceTurn, "readings" | "curves">;

function readTurn(
  { readings, curves }: Measured,
  reading: string,
  atHz: number | undefined,
): Figure | undefined {
  if (atHz === undefined) return readLevel(readings, reading);
  const curve = curves[getCurveId(reading)];
  if (curve === undefined || curve.x.length === 0) return undefined;
  const apart = (hz: number) => Math.abs(Math.log(hz / atHz));
  const at = curve.x.reduce((best, hz, i) => (apart(hz) < apart(curve.x[best]) ? i : best), 0);
  return apart(curve.x[at]) > 0.15 ? undefined : { value: curve.y[at], unit: curve.yUnit };
}

function readLevel(readings: Readings, reading: string): Figure | undefined {
  const found = readings[reading];
  if (found === undefined) return undefined;
  const isRatio = findReadingKind(reading)?.compared === "ratio";
  return isRatio ? undefined : { value: found.value, unit: found.unit };
}

function readMedian(
  { paths }: Round,
  families: readonly string[],
  reading: string,
  atHz: number | undefined,
): number | undefined {
  const values = paths.flatMap((path) =>
    families.includes(path.family) ? (readTurn(path, reading, atHz)?.value ?? []) : [],
  );
  return values.length === 0 ? undefined : median(values);
}

/** Whether what is added to a reading adds as power. */
function isPower(reading: string, atHz: number | undefined): boolean {
  if (atHz === undefined) return getShareDomain(reading) === "power";
  return findCurveKind(getCurveId(reading))?.own?.adds !== "ratio";
}
