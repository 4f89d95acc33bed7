import { dbPerPowerShare, dbToPower } from "../../dsp/decibels.js";
import { median, qn } from "../../dsp/robust.js";
import type { Absence } from "../../measure/absence.js";
import { curveKinds, findCurveKind } from "../../measure/curve-kinds.js";
import type { ReadingKind } from "../../measure/reading-kind.js";
import { findReadingKind, getShareDomain } from "../../measure/reading-kinds.js";
import type { Curve, Measurement, Reading } from "../../measure/types.js";
import { computeSharedScatter } from "./shared-scatter.js";

/** A family's paths inside and outside a set that shares a part. */
export interface Sides {
  readonly inside: readonly Measurement[];
  readonly outside: readonly Measurement[];
}

/** The contribution of a shared part to one reading, found on a family. */
export interface Share {
  readonly inside: number;
  readonly outside: number;
  /** Scatter of the contribution from path to path, in the reading's unit. */
  readonly scatter: number;
}

/** The contributions of a part to all readings and curves of one family. */
export interface Shares {
  readonly readings: Readonly<Record<string, Share>>;
  readonly curves: Readonly<Record<string, readonly (Share | undefined)[]>>;
}

/** Fewer values on either side do not show a contribution. */
const fewest = 2;
/** A contribution counts if both medians differ by this many standard errors. */
const leastErrors = 3;
/** Standard error of a median of normal values relative to that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);
/** Least scatter of a contribution, decibels (common practice, no source). */
const leastScatterDb = 0.3;
/** A remainder belongs to the path only if it exceeds this many deviations of the contribution. */
const clear = 3;
/** The same for one of the hundreds of points of a family's curves. */
const clearAtPoint = 4;
/** Points on either side used to estimate the scatter of a spectrum. */
const pointsAround = 3;

export const hiddenByShare: Absence = { code: "hidden-by-share" };

/**
 * Finds by how much a set of paths differs from its siblings outside the set, in every reading and
 * at every point of every curve that at least two paths on either side have.
 *
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const shares = findShares({ inside: [of(-6), of(-6), of(-6)], outside: [of(0), of(0), of(0)] });
 * shares.readings.gain.inside; // -6
 * shares.readings.gain.outside; // 0
 */
export function findShares({ inside, outside }: Sides): Shares {
  const ids = new Set(inside.flatMap(({ readings }) => Object.keys(readings)));
  const readings: Record<string, Share> = {};
  for (const id of ids) {
    if (getShareDomain(id) === undefined) continue;
    const of = (side: readonly Measurement[]) =>
      side.flatMap((one) => one.readings[id]?.value ?? []);
    const kind = findReadingKind(id);
    const share = shareOf(of(inside), of(outside), (kind?.least ?? 0) / 4);
    if (share) readings[id] = withKnownScatter(share, kind);
  }
  const curves: Record<string, readonly (Share | undefined)[]> = {};
  for (const { id: name, shareScatterDb: grantedDb } of curveKinds) {
    if (grantedDb === undefined) continue;
    const length = Math.max(0, ...inside.map((one) => one.curves[name]?.x.length ?? 0));
    const points = Array.from({ length }, (_, i) => {
      const of = (side: readonly Measurement[]) =>
        side.flatMap((one) => one.curves[name]?.y[i] ?? []);
      return { inside: of(inside), outside: of(outside) };
    });
    const scatters = points.map((one) => Math.max(scatterOf(one.inside), scatterOf(one.outside)));
    curves[name] = points.map((one, i) => {
      const share = shareOf(one.inside, one.outside, grantedDb);
      if (share === undefined) return undefined;
      const near = scatters.slice(Math.max(0, i - pointsAround), i + pointsAround + 1);
      return { ...share, scatter: Math.max(share.scatter, median(near)) };
    });
  }
  return { readings, curves };
}

/**
 * The contributions of a part with the same effect on every input, e.g. an output of the interface:
 * levels, responses and polarity are found on all families together, each relative to its own paths
 * outside. If one of two paths of a family has a separate fault, they do not show which; those of
 * other families do.
 *
 * @param families the sides of each family
 * @returns one for each family, in its order
 * @example
 * const of = (value) => ({
 *   readings: { gain: { value, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * });
 * const outside = [of(0), of(0), of(0)];
 * const [line] = findPooledShares([
 *   { inside: [of(-4), of(-10)], outside },
 *   { inside: [of(-4), of(-4)], outside },
 * ]);
 * line.readings.gain.inside; // -4
 */
export function findPooledShares(families: readonly Sides[]): readonly Shares[] {
  const own = families.map(findShares);
  const readings = own.map((shares): Record<string, Share> => ({ ...shares.readings }));
  const ids = new Set(
    families.flatMap(({ inside }) => inside.flatMap((one) => Object.keys(one.readings))),
  );
  for (const id of ids) {
    const domain = getShareDomain(id);
    if (domain !== "shift" && domain !== "turn") continue;
    const values = families.map((sides) => valuesOf(sides, (one) => one.readings[id]?.value));
    const granted = (findReadingKind(id)?.least ?? 0) / 4;
    const pooled = domain === "turn" ? poolTurns(values) : poolShifts(values, granted);
    pooled.forEach((share, k) => {
      delete readings[k][id];
      if (share !== undefined) readings[k][id] = share;
    });
  }
  const curves = own.map(
    (shares): Record<string, readonly (Share | undefined)[]> => ({
      ...shares.curves,
    }),
  );
  for (const { id: name, shareScatterDb: grantedDb } of curveKinds) {
    if (grantedDb === undefined || adds(name) !== "ratio") continue;
    const length = Math.max(0, ...own.map((shares) => shares.curves[name]?.length ?? 0));
    for (const one of curves) one[name] = [];
    for (let i = 0; i < length; i++) {
      const values = families.map((sides) => valuesOf(sides, (one) => one.curves[name]?.y[i]));
      poolShifts(values, grantedDb).forEach((share, k) => {
        curves[k][name] = [...curves[k][name], share];
      });
    }
  }
  return families.map((_, k) => ({ readings: readings[k], curves: curves[k] }));
}

/** One figure on either side of a family. */
interface SideValues {
  readonly inside: readonly number[];
  readonly outside: readonly number[];
}

function valuesOf(
  { inside, outside }: Sides,
  read: (one: Measurement) => number | undefined,
): SideValues {
  const of = (side: readonly Measurement[]) => side.flatMap((one) => read(one) ?? []);
  return { inside: of(inside), outside: of(outside) };
}

function poolShifts(
  families: readonly SideValues[],
  granted: number,
): readonly (Share | undefined)[] {
  const middles = families.map(({ outside }) =>
    outside.length < fewest ? undefined : median(outside),
  );
  const about = (of: keyof SideValues) =>
    families.flatMap((one, k) => {
      const middle = middles[k];
      return middle === undefined ? [] : one[of].map((value) => value - middle);
    });
  const share = shareOf(about("inside"), about("outside"), granted);
  return middles.map((middle) => {
    if (middle === undefined || share === undefined) return undefined;
    return { ...share, inside: middle + share.inside - share.outside, outside: middle };
  });
}

/** An inversion is shared if it shows on most paths. */
function poolTurns(families: readonly SideValues[]): readonly (Share | undefined)[] {
  const middles = families.map(({ outside }) =>
    outside.length < fewest ? 0 : Math.sign(median(outside)),
  );
  const votes = families.flatMap(({ inside }, k) => inside.map((value) => value * middles[k]));
  if (votes.reduce((sum, vote) => sum + vote, 0) >= 0) return middles.map(() => undefined);
  return middles.map((middle) =>
    middle === 0 ? undefined : { inside: -middle, outside: middle, scatter: 0 },
  );
}

/**
 * A few paths may agree at a point by chance. In decibels a spectrum's scatter depends on the
 * measuring time, not on its level: paths outside and neighbouring points show it too.
 */
function scatterOf(values: readonly number[]): number {
  return values.length < fewest ? 0 : qn(values);
}

/**
 * A few paths may scatter less by chance than the contribution really does: the remainder of a
 * power would then wrongly count as the path's.
 */
function withKnownScatter(share: Share, kind: ReadingKind | undefined): Share {
  if (kind?.share !== "power") return share;
  const aspect = kind.shared?.aspect ?? (kind.aspect === "noise" ? "noise" : "distortion");
  const known = computeSharedScatter(aspect, share.inside - share.outside);
  return { ...share, scatter: Math.max(share.scatter, known) };
}

function shareOf(
  inside: readonly number[],
  outside: readonly number[],
  granted: number,
): Share | undefined {
  if (inside.length < fewest || outside.length < fewest) return undefined;
  const [a, b] = [median(inside), median(outside)];
  const within = Math.max(granted, qn(inside));
  const error =
    medianError *
    Math.hypot(
      within / Math.sqrt(inside.length),
      Math.max(granted, qn(outside)) / Math.sqrt(outside.length),
    );
  if (Math.abs(a - b) < leastErrors * error) return undefined;
  return { inside: a, outside: b, scatter: qn(inside) };
}

/**
 * A measurement without a part's contribution, as if the shared part were good. Readings hidden by
 * the contribution are left out, with the reason, so that they count neither for nor against the
 * path.
 *
 * @param shares those of the path's family
 * @example
 * const measurement = {
 *   readings: { gain: { value: -6, unit: "dB", uncertainty: 0.01 } },
 *   absent: {},
 *   curves: {},
 * };
 * const shares = { readings: { gain: { inside: -6, outside: 0, scatter: 0 } }, curves: {} };
 * subtractShares(measurement, shares).readings.gain.value; // 0
 */
export function subtractShares(measurement: Measurement, shares: Shares): Measurement {
  const readings: Record<string, Reading> = { ...measurement.readings };
  const absent: Record<string, Absence> = { ...measurement.absent };
  for (const [id, share] of Object.entries(shares.readings)) {
    const reading = readings[id];
    if (!reading) continue;
    const left = subtractFromReading(id, reading, share);
    if (left) readings[id] = left;
    else {
      delete readings[id];
      absent[id] = hiddenByShare;
    }
  }
  const curves: Record<string, Curve> = { ...measurement.curves };
  for (const [name, own] of Object.entries(shares.curves)) {
    const curve = curves[name];
    if (curve && own.some((share) => share !== undefined)) {
      curves[name] = adds(name) === "ratio" ? shifted(curve, own) : cleared(curve, own);
    }
  }
  return { ...measurement, readings, absent, curves };
}

const adds = (curve: string) => findCurveKind(curve)?.own?.adds;

function subtractFromReading(id: string, reading: Reading, share: Share): Reading | undefined {
  const { value } = reading;
  const { inside, outside, scatter } = share;
  const domain = getShareDomain(id);
  if (domain === "turn") {
    return { ...reading, value: value * Math.sign(inside * outside) || value };
  }
  if (domain === "shift" || (domain === "power" && inside < outside)) {
    if (domain === "shift" && lacksShift([value], [share], findReadingKind(id)?.least ?? 0)) {
      return reading;
    }
    return {
      ...reading,
      value: value - (inside - outside),
      uncertainty: Math.hypot(reading.uncertainty, scatter),
    };
  }
  const least = findReadingKind(id)?.least ?? 0;
  if (domain === "least") {
    if (inside > outside) return { ...reading, value: value - (inside - outside) };
    // Worse than the contribution: a stage of the path itself clips earlier.
    return value < inside - Math.max(least, clear * scatter) ? reading : undefined;
  }
  const left = subtractPower(value, share, least);
  if (left === undefined) return undefined;
  return {
    ...reading,
    value: left.db,
    uncertainty: Math.hypot(reading.uncertainty, left.uncertaintyDb),
  };
}

/**
 * The remainder of a power without the contribution: P − (P_in − P_out), with the contribution's
 * scatter as uncertainty. Undefined if a relevant rise could not be seen.
 *
 * @param leastDb smallest relevant rise
 *
 * @param clearBy deviations of the contribution that the remainder must exceed
 * @example
 * // Of 4 units of power 2 are the share: 10·lg 2 is left.
 * const share = { inside: powerToDb(3), outside: 0, scatter: 0 };
 * subtractPower(powerToDb(4), share, 1).db; // 3.01030
 * // What lacks the share is left as it is.
 * subtractPower(0, share, 1).db; // 0
 */
export function subtractPower(
  db: number,
  { inside, outside, scatter }: Share,
  leastDb: number,
  clearBy = clear,
): { readonly db: number; readonly uncertaintyDb: number } | undefined {
  const power = (level: number) => dbToPower(level - outside);
  const share = power(inside) - 1;
  const doubt = (share * Math.max(leastScatterDb, scatter)) / dbPerPowerShare;
  const left = power(db) - share;
  // A path without the contribution is like its siblings outside.
  if (power(db) < 1 + share / 4) return { db, uncertaintyDb: 0 };
  const mattering = dbToPower(Math.max(1, leastDb)) - 1;
  const own = left - 1;
  if (own > clearBy * doubt) {
    return {
      db: outside + 10 * Math.log10(left),
      uncertaintyDb: (2 * dbPerPowerShare * doubt) / left,
    };
  }
  if (clearBy * doubt > mattering) return undefined;
  const held = Math.max(left, 0.5);
  return {
    db: outside + 10 * Math.log10(held),
    uncertaintyDb: (2 * dbPerPowerShare * doubt) / held,
  };
}

/**
 * Share of the distance between the medians within which a path lacks the contribution (common
 * practice, a guess).
 */
const lacksWithin = 1 / 4;

/**
 * Whether a path lacks the part's effect: it reads as if the part were good, and subtracting an
 * effect that it does not have would make it look faulty.
 *
 * @param least smallest relevant effect
 */
function lacksShift(
  values: readonly number[],
  shares: readonly (Share | undefined)[],
  least: number,
): boolean {
  let apart = 0;
  let moved = 0;
  let count = 0;
  shares.forEach((share, i) => {
    if (share === undefined || values[i] === undefined) return;
    apart += Math.abs(values[i] - share.outside);
    moved += Math.abs(share.inside - share.outside);
    count++;
  });
  return moved > count * least && apart < lacksWithin * moved;
}

function shifted(curve: Curve, shares: readonly (Share | undefined)[]): Curve {
  if (lacksShift(curve.y, shares, leastShiftDb)) return curve;
  const y = curve.y.map((value, i) => {
    const share = shares[i];
    return share ? value - (share.inside - share.outside) : value;
  });
  return { ...curve, y };
}

/** Points hidden by the contribution are set to their floor: they say nothing about the path. */
function cleared(curve: Curve, shares: readonly (Share | undefined)[]): Curve {
  const y = [...curve.y];
  const floor = curve.floor ? [...curve.floor] : curve.y.map(() => noFloorDb);
  shares.forEach((share, i) => {
    if (!share || y[i] === undefined) return;
    if (share.inside < share.outside) {
      y[i] -= share.inside - share.outside;
      return;
    }
    const left = subtractPower(y[i], share, leastCurveDb, clearAtPoint);
    if (left) y[i] = left.db;
    else {
      y[i] = share.outside;
      floor[i] = share.outside;
    }
  });
  return { ...curve, y, floor };
}

/** Decibels; a response that moves by less everywhere may be scatter. */
const leastShiftDb = 1;
const noFloorDb = -400;
const leastCurveDb = 4;
