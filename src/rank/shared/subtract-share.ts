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

/** A share in one reading, found on a family. */
export interface Share {
  readonly inside: number;
  readonly outside: number;
  /** How far the share scatters from path to path, in the reading's unit. */
  readonly scatter: number;
}

/** The shares of a part in all readings and curves of one family. */
export interface Shares {
  readonly readings: Readonly<Record<string, Share>>;
  readonly curves: Readonly<Record<string, readonly (Share | undefined)[]>>;
}

/** Fewer values on either side show no share. */
const fewest = 2;
/** A share counts where both medians differ by this many standard errors. */
const leastErrors = 3;
/** Standard error of a median of normal values against that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);
/** Scatter of a share is never taken to be less than this, decibels (common practice). */
const leastScatterDb = 0.3;
/** What is left is a path's own only where it is this many deviations of the share. */
const clear = 3;
/** The same for one of the hundreds of points that a family's curves have. */
const clearAtPoint = 4;
/** Points to either side that show with a point how far a spectrum scatters there. */
const pointsAround = 3;

export const hiddenByShare: Absence = { code: "hidden-by-share" };

/**
 * Finds what a set of paths has more, or less, of than its siblings outside the set, in every
 * reading and at every point of every curve that at least two paths on either side have.
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
 * The shares of a part that does the same to every input, as an output of the interface does: levels,
 * responses and polarity are found on all families together, each against its own paths outside.
 * Two paths of a family of which one has a fault of its own do not say which of them; those of the
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

/** A turn is shared where it shows on more paths than not. */
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
 * A few paths lie together at a point by chance. In decibels a spectrum scatters alike whatever its
 * level, by how long was listened: those outside and the points beside it show it as well.
 */
function scatterOf(values: readonly number[]): number {
  return values.length < fewest ? 0 : qn(values);
}

/**
 * A few paths may scatter less by chance than what is added does by its nature: what is left of a
 * power would be called a path's own for it.
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
 * A measurement without a part's share: as though the shared part were sound. What the share hides
 * is left out, with the reason, so that it neither accuses nor acquits the path.
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
    // Worse than the share: a stage of the path's own gives way earlier, and is heard alone.
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
 * What is left of a power when the share is taken off: P − (P_in − P_out), known no better than the
 * share's scatter. Undefined where a rise that would matter could not be seen.
 *
 * @param leastDb a rise that would matter
 * @param clearBy deviations of the share by which what is left has to rise out of it
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
  // A path that lacks the share is as its siblings outside.
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

/** What lies so near to the usual, in its distance from the share, lacks it (common practice, a guess). */
const lacksWithin = 1 / 4;

/**
 * Whether what a part does to the others does not show here: it measures as though the part were
 * sound, and without a share that it lacks it would be called too loud.
 *
 * @param least a smaller share is of no concern
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

/** Points that the share hides lie on their floor: they say nothing about the path. */
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

/** A response that moves by less throughout may as well be scatter. */
const leastShiftDb = 1;
const noFloorDb = -400;
const leastCurveDb = 4;
