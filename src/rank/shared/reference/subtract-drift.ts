import { getReadingId } from "../../../measure/reading-kinds.js";
import type { PathToRank } from "../../family-stats.js";
import { findDriftedReadings, findLevelChange, isLevelMoved } from "./find-drift.js";
import {
  type DriftPart,
  type FittedDrift,
  fitLevelDrift,
  type TimedGain,
} from "./fit-level-drift.js";
import { takeLevelDriftOff } from "./take-level-drift-off.js";
import type { DriftShare, LevelDrift, ReferenceDrift, ReferenceMeasurements } from "./types.js";

/** A round's paths with the level's drift subtracted, and the drift. */
export interface WithoutDrift<P extends PathToRank> {
  readonly inputs: readonly P[];
  /** Undefined if only one turn was measured, or nothing drifted. */
  readonly drift?: ReferenceDrift;
  /** Whether the level is known to be constant: both turns agree. */
  readonly levelHeld: boolean;
}

/** What a round shows about its recording. */
export interface DriftContext {
  readonly reference: ReferenceMeasurements;
  /** Path to its turn: 0 for the first after the reference path. */
  readonly turns: ReadonlyMap<string, number>;
  /** Path to its gain in an earlier round with constant level, in the same unit. */
  readonly earlierGains?: ReadonlyMap<string, number>;
}

/** Expanded uncertainty (95 %), decibels, above which a path's level is in doubt. */
const doubtedDb = 0.7;
/** Decibels; from this size it is examined whether noise moved with the level. */
const noiseMovesDb = 1;

/**
 * Subtracts the level's change between the first and last turn of the reference path from each
 * path, if the paths show when it happened; if not, there is only a doubt.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const inputs = [0, 0, 0, 0, 2, 2, 2, 2].map((gainDb, k) => ({
 *   path: `${k + 1}/mic`,
 *   family: "mic",
 *   measurement: of(gainDb),
 * }));
 * const turns = new Map(inputs.map(({ path }, k) => [path, k]));
 * const reference = { into: "bus", first: of(0), last: of(2) };
 * const found = subtractDrift(inputs, { reference, turns });
 * found.drift.level.from; // "5/mic"
 * Math.abs(found.inputs[7].measurement.readings.gain.value) < 0.01; // true
 */
export function subtractDrift<P extends PathToRank>(
  inputs: readonly P[],
  { reference, turns, earlierGains }: DriftContext,
): WithoutDrift<P> {
  const level = findLevelChange(reference);
  const readings = findDriftedReadings(reference);
  const isMoved = level !== undefined && isLevelMoved(level);
  if (!isMoved) {
    const drift = readings.length === 0 ? {} : { drift: { readings } };
    return { inputs, ...drift, levelHeld: level !== undefined };
  }
  const timed = listGains(inputs, turns, earlierGains);
  const fit = fitLevelDrift(timed, level.change, turns.size);
  const shares = [...fit.parts.values()];
  const size = 2 * Math.abs(level.change);
  const amongDb = size * Math.max(0, ...shares.map(({ doubtAmongSiblings }) => doubtAmongSiblings));
  const isKnown = fit.fits && amongDb <= doubtedDb;
  const from = fit.course === "step" ? findFrom(fit, turns) : undefined;
  const noise = isNoiseMoved(inputs, fit, level.change) ? "moves" : "stays";
  const taken = Object.fromEntries(
    [...fit.parts].map(([path, part]) => [path, toShare(part, level.change)]),
  );
  const found: LevelDrift = {
    changeDb: level.change,
    uncertaintyDb: level.uncertainty,
    course: fit.course,
    ...(from === undefined ? {} : { from }),
    handled: isKnown ? "taken-off" : "doubted",
    leftDb: isKnown ? amongDb : Math.abs(level.change),
    noise,
    ...(isKnown ? { taken } : {}),
  };
  const cleared = inputs.map((one) =>
    one.measurement === undefined
      ? one
      : { ...one, measurement: takeLevelDriftOff(one.path, one.measurement, found) },
  );
  return { inputs: cleared, drift: { level: found, readings }, levelHeld: false };
}

function toShare({ part, doubt, doubtAmongSiblings }: DriftPart, changeDb: number): DriftShare {
  const size = 2 * Math.abs(changeDb);
  const [all, among] = [size * doubt, size * doubtAmongSiblings];
  return {
    db: changeDb * part,
    uncertainty: Math.max(all, among),
    common: Math.sqrt(Math.max(0, all ** 2 - among ** 2)),
  };
}

/** Gains for comparing paths with siblings; relative to an earlier round if it has them. */
function listGains(
  inputs: readonly PathToRank[],
  turns: ReadonlyMap<string, number>,
  earlier: ReadonlyMap<string, number> = new Map(),
): readonly TimedGain[] {
  return inputs.flatMap(({ path, family, measurement }): TimedGain[] => {
    const gain = measurement?.readings[getReadingId("gain")]?.value;
    const turn = turns.get(path);
    if (gain === undefined || turn === undefined) return [];
    const then = earlier.get(path);
    const own = then === undefined ? { family, gainDb: gain } : { family: "", gainDb: gain - then };
    return [{ path, turn, ...own }];
  });
}

/** The first path after a step; undefined if it was before the first or after the last. */
function findFrom({ fromTurn }: FittedDrift, turns: ReadonlyMap<string, number>) {
  if (fromTurn === undefined || fromTurn === 0) return undefined;
  return [...turns].find(([, turn]) => turn === fromTurn)?.[0];
}

/**
 * Whether noise moved with the level, as it does if the master or the interface's input was
 * changed, but not its output: whichever makes the siblings' noise more similar.
 */
function isNoiseMoved(
  inputs: readonly PathToRank[],
  { parts }: FittedDrift,
  changeDb: number,
): boolean {
  if (Math.abs(changeDb) < noiseMovesDb) return false;
  const misfit = (share: number) => {
    const families = new Map<string, number[]>();
    for (const { path, family, measurement } of inputs) {
      const hiss = measurement?.readings[getReadingId("hiss")];
      const part = parts.get(path);
      if (hiss === undefined || part === undefined) continue;
      families.set(family, [
        ...(families.get(family) ?? []),
        hiss.value - share * changeDb * part.part,
      ]);
    }
    let sum = 0;
    for (const own of families.values()) {
      const sorted = [...own].sort((a, b) => a - b);
      const middle = sorted[Math.floor(sorted.length / 2)];
      for (const one of own) sum += Math.min(2, Math.abs(one - middle));
    }
    return sum;
  };
  return misfit(1) < misfit(0);
}
