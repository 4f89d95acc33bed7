import type { Absence } from "../absence.js";
import { markBounds } from "../curve-bounds.js";
import { boundDb, isBound } from "../is-bound.js";
import { thd, thdHot } from "../readings/distortion.js";
import { level } from "../readings/level.js";
import { noise } from "../readings/noise.js";
import { polarity } from "../readings/polarity.js";
import type { Curve, Curves, Measurement, Reading, Readings } from "../types.js";
import type { InputCalibration } from "./types.js";

/** A level at the interface's input, dBu, with its expanded uncertainty (95 %) in decibels. */
export interface KnownLevel {
  readonly dbu: number;
  readonly uncertaintyDb: number;
}

/** Decibels; returns of one loopback that differ more were not made with the same settings. */
const alike = { levelDb: 0.1, responseDb: 0.1, noiseDb: 3 } as const;

/**
 * Builds the calibration of an input of the interface from its loopback returns: means of all
 * readings, and the scale from dBFS to dBu. The uncertainty of a mean follows from its parts; if
 * they scatter more than their uncertainties allow, it is widened by the ratio (R. T. Birge, "The
 * calculation of errors by the method of least squares", Phys. Rev. 40, 1932).
 *
 * @param channel of the captures, from 0
 * @param measured one or more returns, checked by {@link findInterfaceFault} and {@link
 * findDisagreement}
 * @param known level at the input while the 1 kHz tone played
 * @example
 * const reading = (value, unit = "dB") => ({ value, unit, uncertainty: 0.001 });
 * const loopback = (level) => ({
 *   readings: { level: reading(level, "dBFS"), gain: reading(0), noise: reading(-103, "dBFS") },
 *   absent: {},
 *   curves: {},
 * });
 *
 * // A tone of 4 dBu that comes back at −18 dBFS: full scale is 22 dBu.
 * const known = { dbu: 4, uncertaintyDb: 0.1 };
 * const input = buildInputCalibration(0, [loopback(-18)], known);
 * input.fullScale.value; // 22
 */
export function buildInputCalibration(
  channel: number,
  measured: readonly Measurement[],
  known: KnownLevel,
): InputCalibration {
  const readings = meanReadings(measured.map((m) => m.readings));
  const looped = readings[level.id];
  const scale = Math.hypot(known.uncertaintyDb, looped.uncertainty);
  return {
    channel,
    returns: measured.length,
    fullScale: { value: known.dbu - looped.value, unit: "dBu", uncertainty: scale },
    readings,
    curves: meanCurves(measured.map((m) => m.curves)),
  };
}

/** Means of the readings that all returns have. */
function meanReadings(all: readonly Readings[]): Record<string, Reading> {
  const [first, ...others] = all;
  const means: Record<string, Reading> = {};
  for (const id of Object.keys(first)) {
    const rows = [first, ...others].flatMap((readings) => readings[id] ?? []);
    if (rows.length === all.length) means[id] = meanReading(rows);
  }
  return means;
}

function meanReading(rows: readonly Reading[]): Reading {
  const highest = rows.reduce((a, b) => (b.value > a.value ? b : a));
  // A bound cannot be averaged with estimates; the highest is safe.
  if (rows.some(isBound)) {
    return { ...highest, limitedBy: "noise", bound: highest.bound ?? "upper" };
  }
  const { value, uncertainty } = mean(rows.map((r) => [r.value, r.uncertainty]));
  const isSet = rows.some(({ limitedBy }) => limitedBy === "interface");
  return {
    value,
    unit: highest.unit,
    uncertainty,
    // By the word length: in a loopback there is no other limit.
    ...(isSet ? { limitedBy: "interface" as const } : {}),
  };
}

function meanCurves(all: readonly Readonly<Record<string, Curve>>[]): Curves {
  const [first] = all;
  const means: Record<string, Curve> = {};
  for (const [id, curve] of Object.entries(first)) {
    const rows = all.flatMap((curves) => curves[id] ?? []);
    if (rows.some(({ x }) => x.length !== curve.x.length) || rows.length < all.length) continue;
    const points = curve.x.map((_, i) => {
      // As for readings: a bound cannot be averaged, the highest is safe.
      const isBound = curve.floor !== undefined && rows.some((r) => r.uncertainty[i] >= boundDb);
      if (isBound) return { value: Math.max(...rows.map((r) => r.y[i])), uncertainty: boundDb };
      return mean(rows.map((r) => [r.y[i], r.uncertainty[i]]));
    });
    means[id] = {
      ...curve,
      y: points.map(({ value }) => value),
      uncertainty: points.map(({ uncertainty }) => uncertainty),
    };
  }
  return markBounds(means);
}

function mean(rows: readonly (readonly [value: number, uncertainty: number])[]) {
  const n = rows.length;
  const value = rows.reduce((sum, [v]) => sum + v, 0) / n;
  const own = Math.sqrt(rows.reduce((sum, [, u]) => sum + u * u, 0)) / n;
  if (n === 1 || own === 0) return { value, uncertainty: own };
  const chi2 = rows.reduce((sum, [v, u]) => sum + ((2 * (v - value)) / u) ** 2, 0) / (n - 1);
  return { value, uncertainty: own * Math.sqrt(Math.max(1, chi2)) };
}

/** Plausible ranges of an interface's readings; wide (common practice, no source). */
const plain = {
  /** Level of the nominal tone in the recording. */
  levelDbfs: { least: -48, most: -5 },
  /** Response relative to 1 kHz, decibels. */
  audioDb: 3,
  aboveDb: 12,
  /** No converter is below the least; only a file that never left the computer. */
  noiseDbfs: { least: -134, most: -70 },
  /** Distortion at nominal level and 12 dB above, decibels: 1 %. */
  distortion: -40,
} as const;
/** Up to here the response is that of the audio band. */
const audioHz = 20_000;

/** Why a loopback cannot be of an interface alone; worded in `report/loopback-faults`. */
export type InterfaceFault =
  | {
      readonly code: "not-read";
      readonly what: "level" | "response" | "noise";
      readonly because?: Absence;
    }
  | { readonly code: "level-out"; readonly dbfs: number; readonly is: "high" | "low" }
  | { readonly code: "noisy"; readonly dbfs: number; readonly mostDbfs: number }
  | { readonly code: "too-quiet"; readonly dbfs: number }
  | {
      readonly code: "odd-response";
      readonly hz: number;
      readonly db: number;
      readonly mostDb: number;
    }
  | { readonly code: "distorts"; readonly at: "nominal" | "hot"; readonly db: number };

/** How returns of one input differ more than returns of one loopback can. */
export type Disagreement =
  | { readonly code: "polarities-differ" }
  | { readonly code: "levels-differ" | "noise-differs"; readonly db: number }
  | { readonly code: "responses-differ"; readonly db: number; readonly hz: number };

/**
 * Why a loopback cannot be of an interface alone; undefined for a plausible one. Limits are wide: a
 * poor interface passes; a desk with a filter in, a wrong cable or the signal file itself do not.
 *
 * @example
 * findInterfaceFault({ readings: {}, absent: {}, curves: {} }); // { code: "not-read", what: "level" }
 */
export function findInterfaceFault(measured: Measurement): InterfaceFault | undefined {
  const { readings, curves, absent } = measured;
  const [tone, quiet] = [readings[level.id], readings[noise.id]];
  const { response } = curves;
  if (!tone) return notRead("level", absent[level.id]);
  if (!response) return notRead("response", absent.response);
  if (!quiet) return notRead("noise", absent[noise.id]);
  if (tone.value < plain.levelDbfs.least || tone.value > plain.levelDbfs.most) {
    const is = tone.value > plain.levelDbfs.most ? "high" : "low";
    return { code: "level-out", dbfs: tone.value, is };
  }
  if (quiet.value > plain.noiseDbfs.most) {
    return { code: "noisy", dbfs: quiet.value, mostDbfs: plain.noiseDbfs.most };
  }
  if (quiet.value < plain.noiseDbfs.least) {
    return { code: "too-quiet", dbfs: quiet.value };
  }
  const odd = oddResponse(response);
  if (odd !== undefined) return odd;
  for (const [{ id }, at] of [
    [thd, "nominal"],
    [thdHot, "hot"],
  ] as const) {
    const reading = readings[id];
    if (reading && !reading.limitedBy && reading.value > plain.distortion) {
      return { code: "distorts", at, db: reading.value };
    }
  }
  return undefined;
}

function notRead(
  what: Extract<InterfaceFault, { code: "not-read" }>["what"],
  because: Absence | undefined,
): InterfaceFault {
  return { code: "not-read", what, ...(because === undefined ? {} : { because }) };
}

function oddResponse({ x, y }: Curve): InterfaceFault | undefined {
  let worst = -1;
  let excess = 0;
  x.forEach((hz, i) => {
    const allowed = hz > audioHz && y[i] < 0 ? plain.aboveDb : plain.audioDb;
    const over = Math.abs(y[i]) - allowed;
    if (over > excess) [worst, excess] = [i, over];
  });
  if (worst < 0) return undefined;
  return { code: "odd-response", hz: x[worst], db: y[worst], mostDb: plain.audioDb };
}

/**
 * In what the returns of one input differ more than returns of one loopback do.
 *
 * @returns undefined if they agree, as a single one does
 * @example
 * const reading = (value, unit = "dB") => ({ value, unit, uncertainty: 0.001 });
 * const loopback = (level) => ({
 *   readings: { level: reading(level, "dBFS"), gain: reading(0), noise: reading(-103, "dBFS") },
 *   absent: {},
 *   curves: {},
 * });
 *
 * findDisagreement([loopback(-18), loopback(-17)]); // { code: "levels-differ", db: 1 }
 * findDisagreement([loopback(-18)]); // undefined
 */
export function findDisagreement(measured: readonly Measurement[]): Disagreement | undefined {
  if (spread(measured, polarity.id) > 0) return { code: "polarities-differ" };
  const levelDb = spread(measured, level.id);
  if (levelDb > alike.levelDb) return { code: "levels-differ", db: levelDb };
  const noiseDb = spread(measured, noise.id);
  if (noiseDb > alike.noiseDb) return { code: "noise-differs", db: noiseDb };
  const responses = measured.flatMap(({ curves }) => curves.response ?? []);
  for (const [i, hz] of responses[0]?.x.entries() ?? []) {
    const at = range(responses.map(({ y }) => y[i]));
    if (at > alike.responseDb) return { code: "responses-differ", db: at, hz };
  }
  return undefined;
}

function spread(measured: readonly Measurement[], id: string): number {
  return range(measured.flatMap(({ readings }) => readings[id]?.value ?? []));
}

function range(values: readonly number[]): number {
  return values.length === 0 ? 0 : Math.max(...values) - Math.min(...values);
}
