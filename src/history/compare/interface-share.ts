import { findCurveKind } from "../../measure/curve-kinds.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Curve, Readings } from "../../measure/types.js";
import type { Round, RoundPath } from "../types.js";
import type { Refusal } from "./incomparable.js";

/**
 * A reading this many decibels above the interface's own has only a small share of it: 0.4 dB as
 * powers, at most 0.9 dB as voltages of unknown phase.
 */
const clearDb = { power: 10, phase: 20 } as const;

/**
 * For two rounds of which one is calibrated: which readings are close to the interface's own noise
 * or distortion, which the other round still includes.
 *
 * @param plain the round without a calibration
 * @param calibrated the other one
 * @returns why a reading or a curve cannot be compared, of one path, or of most paths if none is
 *   named; undefined if it can
 */
export function createShareRefusal(
  plain: Round,
  calibrated: Round,
): (id: string, path?: string) => Refusal | undefined {
  const inputs = calibrated.calibration?.inputs ?? [];
  const channels = new Map(calibrated.paths.map(({ path, take }) => [path, take?.channel]));
  const isNear = (id: string, path: RoundPath): boolean => {
    const share = findReadingKind(id)?.own ?? findCurveKind(id)?.own;
    if (share?.adds !== "power" && share?.adds !== "phase") return false;
    const own = inputs.find(({ channel }) => channel === channels.get(path.path));
    const clearance = own && computeClearance(id, path, own);
    return clearance !== undefined && clearance < clearDb[share.adds];
  };
  return (id, path) => {
    const paths = plain.paths.filter(
      (one) => one.status === "measured" && (path === undefined || one.path === path),
    );
    const near = paths.filter((one) => isNear(id, one)).length;
    return 2 * near > paths.length ? { code: "interface-share" } : undefined;
  };
}

interface Measured {
  readonly readings: Readings;
  readonly curves: Readonly<Record<string, Curve>>;
}

/** Decibels of a path's reading, or of the middle of its curve, above the interface's own. */
function computeClearance(id: string, path: Measured, own: Measured): number | undefined {
  const [reading, mine] = [path.readings[id], own.readings[id]];
  if (reading !== undefined && mine !== undefined) return reading.value - mine.value;
  const [curve, other] = [path.curves[id], own.curves[id]];
  if (curve === undefined || other === undefined) return undefined;
  return middle(curve.y) - middle(other.y);
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  return sorted[sorted.length >> 1];
}
