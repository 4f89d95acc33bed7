import { median, qn } from "../dsp/robust.js";
import { getBoundSide, isBound } from "../measure/is-bound.js";
import { findReadingKind, readingKinds } from "../measure/reading-kinds.js";
import type { Curve, Measurement, Reading } from "../measure/types.js";
import { circularMean, unwrapReadings } from "../measure/unwrap.js";
import type { Unheard } from "../not-measured.js";
import { computeScatter, minInDeviations, priorInAssumed, type Scatter } from "./robust-stats.js";

/** A path as input for ranking. */
export interface PathToRank {
  readonly path: string;
  readonly family: string;
  /** Absent for a path whose return could not be found or measured. */
  readonly measurement?: Measurement;
  /** Set if a capture was made for this path but nothing of the signal came back. */
  readonly unheard?: Unheard;
  /** The noise heard instead, if it was noise. */
  readonly silence?: EmptyCaptureNoise;
  /** Set if it was too loud to be the noise of a stage. */
  readonly loud?: LoudSound;
}

/** The noise of a capture without a return. */
export interface EmptyCaptureNoise {
  readonly aboveSiblingsDb: number;
  /**
   * Level of its siblings' noise above that of the quietest family: what they add. Absent if there
   * is no other family.
   */
  readonly siblingsAboveQuietestDb?: number;
}

/** Sound in a capture that is neither a return nor noise. */
export interface LoudSound {
  /** R.m.s., 0 for a sine at full scale. */
  readonly levelDbfs: number;
  /** Peak over r.m.s., decibels. */
  readonly crestDb: number;
  /** Share of its samples at full scale. */
  readonly clippedShare: number;
}

/** A family's measured paths. */
export type FamilyMembers = readonly { readonly path: string; readonly measurement: Measurement }[];

/** With fewer siblings there is no majority. */
export const minSiblings = 3;

/**
 * The measured paths by family, in the order in which families first appear.
 *
 * @example
 * groupFamilies([{ path: "1/mic", family: "mic" }]).size; // 0
 */
export function groupFamilies(paths: readonly PathToRank[]): ReadonlyMap<string, FamilyMembers> {
  const groups = new Map<string, { path: string; measurement: Measurement }[]>();
  for (const { path, family, measurement } of paths) {
    if (!measurement) continue;
    const group = groups.get(family) ?? [];
    group.push({ path, measurement });
    groups.set(family, group);
  }
  return new Map([...groups].map(([family, group]) => [family, unwrapFamily(group)]));
}

const periodic = readingKinds.flatMap(({ id, period }) =>
  period === undefined ? [] : [{ id, period }],
);

/** Shifts a family's phases to within half a turn of their mean: 179° and −179° are neighbours. */
function unwrapFamily(family: FamilyMembers): FamilyMembers {
  const near: Record<string, number> = {};
  for (const { id, period } of periodic) {
    const values = family.flatMap(({ measurement }) => measurement.readings[id]?.value ?? []);
    if (values.length > 0) near[id] = circularMean(values, period);
  }
  if (Object.keys(near).length === 0) return family;
  return family.map(({ path, measurement }) => ({
    path,
    measurement: { ...measurement, readings: unwrapReadings(measurement.readings, near) },
  }));
}

/** Statistics of a family. */
export interface FamilyStats {
  readonly count: number;
  /** Scatter of every reading that at least {@link minSiblings} paths have. */
  readonly readings: Readonly<Record<string, Scatter>>;
  /** Readings whose median is only a bound: half the family's or more are. */
  readonly bounded?: ReadonlySet<string>;
  /**
   * For a reading whose median is an upper bound: the highest possible value of siblings with a
   * bound, and the scatter of those with a value, if there are enough.
   */
  readonly ceilings?: Readonly<Record<string, Ceiling>>;
  /** Every curve that at least {@link minSiblings} paths have. */
  readonly curves: Readonly<Record<string, FamilyCurve>>;
  /** Ratio of the family's scatter in all readings together to the assumed one; at least 1. */
  readonly excess: number;
}

/** What is known about a reading that is a bound in most of a family. */
export interface Ceiling {
  /** The highest of their bounds, a dead path's aside. */
  readonly value: number;
  /** Robust standard deviation of the siblings with a value; 0 if too few. */
  readonly scale: number;
}

/** A family's curve: scatter at every point of the common grid. */
export interface FamilyCurve {
  readonly x: readonly number[];
  /** Undefined at points with too few paths. */
  readonly points: readonly (Scatter | undefined)[];
}

/**
 * Statistics of a family; undefined if it is too small.
 *
 * @example
 * const reading = (value) => ({ gain: { value, unit: "dB", uncertainty: 0.01 } });
 * const one = (path, value) => ({
 *   path,
 *   measurement: { readings: reading(value), absent: {}, curves: {} },
 * });
 * const stats = computeFamilyStats([one("1/mic", 1), one("2/mic", 2), one("3/mic", 3)]);
 * stats.readings.gain.median; // 2
 */
export function computeFamilyStats(family: FamilyMembers): FamilyStats | undefined {
  if (family.length < minSiblings) return undefined;
  const ids = new Set(family.flatMap(({ measurement }) => Object.keys(measurement.readings)));
  const readings: Record<string, Scatter> = {};
  const bounded = new Set<string>();
  const ceilings: Record<string, Ceiling> = {};
  for (const id of ids) {
    const own = family.flatMap(({ measurement }) => measurement.readings[id] ?? []);
    if (own.length < minSiblings) continue;
    readings[id] = computeScatter(own.map(({ value }) => value));
    if (2 * own.filter(isBound).length < own.length) continue;
    bounded.add(id);
    const ceiling = ceilingOf(own);
    if (ceiling) ceilings[id] = ceiling;
  }
  const names = new Set(family.flatMap(({ measurement }) => Object.keys(measurement.curves)));
  const curves: Record<string, FamilyCurve> = {};
  for (const name of names) {
    const own = family.flatMap(({ measurement }) => measurement.curves[name] ?? []);
    if (own.length >= minSiblings) curves[name] = usualCurve(own);
  }
  return { count: family.length, readings, bounded, ceilings, curves, excess: excessOf(readings) };
}

/**
 * Bounds of similar siblings are within this many deviations above their median; deviations have a
 * minimum (common practice, no source).
 */
const boundDeviations = 4;
const leastBoundScatterDb = 3;

function ceilingOf(own: readonly Reading[]): Ceiling | undefined {
  const hidden = own.filter((one) => getBoundSide(one) === "upper").map(({ value }) => value);
  if (2 * hidden.length < own.length) return undefined;
  const shown = own.filter((one) => !isBound(one)).map(({ value }) => value);
  // A dead path's bound is far above the others, and says nothing about them.
  const { median: middle, scale } = computeScatter(hidden);
  const most = middle + boundDeviations * Math.max(scale, leastBoundScatterDb);
  return {
    value: Math.max(...hidden.filter((value) => value <= most)),
    scale: shown.length < minSiblings ? 0 : qn(shown),
  };
}

/** A path's only sibling as reference: one value each, without a scatter. */
function usualBeside({ readings, curves }: Measurement): FamilyStats {
  const one = (value: number): Scatter => ({ count: 1, median: value, scale: 0 });
  return {
    count: 1,
    readings: mapped(readings, ({ value }) => one(value)),
    bounded: new Set(Object.keys(readings).filter((id) => isBound(readings[id]))),
    curves: mapped(curves, ({ x, y }) => ({ x, points: y.map(one) })),
    excess: 1,
  };
}

function mapped<A, B>(record: Readonly<Record<string, A>>, map: (value: A) => B) {
  return Object.fromEntries(Object.entries(record).map(([key, value]) => [key, map(value)]));
}

/**
 * The reference for one path: the family's statistics or, in a family of two, the other path.
 *
 * @returns undefined if the path has no sibling
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const two = [{ path: "1/mic", measurement: of(1) }, { path: "2/mic", measurement: of(3) }];
 * getReferenceStats(two, "1/mic").readings.gain.median; // 3
 * getReferenceStats(two.slice(0, 1), "1/mic"); // undefined
 */
export function getReferenceStats(family: FamilyMembers, path: string): FamilyStats | undefined {
  if (family.length !== 2) return computeFamilyStats(family);
  const other = family.find((one) => one.path !== path);
  return other && usualBeside(other.measurement);
}

/** Number of readings needed to estimate how much a family scatters. */
const leastShown = 5;

/**
 * Few siblings say little about one reading's scatter; all readings together show whether the
 * family is a wide one. Their median is not affected by the readings of a fault.
 */
function excessOf(readings: FamilyStats["readings"]): number {
  const shown = Object.entries(readings).flatMap(([id, { scale }]) => {
    const assumed = assumedScatter(id);
    return assumed === undefined ? [] : [scale / assumed];
  });
  return shown.length < leastShown ? 1 : Math.max(1, median(shown));
}

/** Prior standard deviation of a reading in a healthy family; undefined if none is known. */
function assumedScatter(id: string): number | undefined {
  const kind = findReadingKind(id);
  if (!kind || kind.harm === "none" || kind.values || kind.least === 0) return undefined;
  return (priorInAssumed * kind.least) / minInDeviations;
}

/** All curves of a round are read at the same points; one of a narrower signal ends earlier. */
function usualCurve(curves: readonly Curve[]): FamilyCurve {
  const { x } = curves.reduce((a, b) => (b.x.length > a.x.length ? b : a));
  const points = x.map((_, i) => {
    const values = curves.flatMap((c) => (i < c.y.length ? [c.y[i]] : []));
    return values.length < minSiblings ? undefined : computeScatter(values);
  });
  return { x, points };
}
