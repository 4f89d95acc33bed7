import { median } from "../../dsp/robust.js";
import type { MorningEntry } from "../../history/morning-log.js";
import { findReadingKind, getReadingId } from "../../measure/reading-kinds.js";
import { nameSecondSide } from "../../rank/partner-path.js";
import { floorHum, humLines } from "../../rank/shared/rows.js";
import { findCurvePoint } from "./curve-points.js";

/** A change since the last good day. */
export type MorningChange =
  | { readonly kind: "silent"; readonly path: string }
  | { readonly kind: "back"; readonly path: string }
  /** Not measured because of a fault in the patch or recording. */
  | { readonly kind: "unmeasured"; readonly path: string }
  | {
      /** Nothing came back on one side of the stereo bus, of any path. */
      readonly kind: "missing";
      readonly path: string;
      readonly side: "left" | "right";
      readonly paths: number;
    }
  | {
      readonly kind: "reading";
      /** A path, a side of one, or the first and last of several measured together. */
      readonly path: string;
      readonly last?: string;
      readonly reading: string;
      readonly change: number;
      /** As a multiple of the smallest difference that matters. */
      readonly times: number;
    }
  | {
      /** The same change on all paths, or on one side of a stereo bus: a shared part. */
      readonly kind: "common";
      readonly side?: "left" | "right";
      readonly reading: string;
      readonly change: number;
      readonly paths: number;
      readonly times: number;
    };

/** A morning compared with the last good one. */
export interface MorningComparison {
  /** Date of the last good day; absent if there is none that can be compared. */
  readonly against?: string;
  /** The most important first. */
  readonly changes: readonly MorningChange[];
  readonly compared: number;
}

/**
 * Day-to-day change that does not matter, unless the reading has its own value (common practice, no
 * source).
 */
const usualLeast = 1;
/**
 * Hum differs from day to day with other equipment and the position of cables; 6 dB doubles the
 * voltage (common practice, no source).
 */
const leastOfHum = 6;
/** Sums of noise and hum differ with other equipment that is on (common practice, no source). */
const leastOfSums = 2;
/** All paths are off alike when they differ by less than this share of it, and by no more than this. */
const alikeShare = 0.3;
const alikeLeast = 0.3;
/** Fewer paths than this do not show a common change. */
const leastAlike = 3;

/**
 * Compares a morning with the last good one of the same signal and unit.
 *
 * @param earlier oldest first
 * @param sides of paths that are a second side of a stereo bus, which it is
 */
export function compareMornings(
  now: Omit<MorningEntry, "verdict" | "sentence">,
  earlier: readonly MorningEntry[],
  sides: ReadonlyMap<string, "left" | "right"> = new Map(),
): MorningComparison {
  const isUnmeasured = (path: string) => now.unmeasured?.includes(path) ?? false;
  const good = [...earlier]
    .reverse()
    .find((one) => one.verdict === "good" && one.signal === now.signal && one.unit === now.unit);
  if (good === undefined) {
    const silent = Object.entries(now.paths).flatMap(([path, own]): MorningChange[] => {
      if (isUnmeasured(path)) return [{ kind: "unmeasured", path }];
      return Object.keys(own).length === 0 ? [{ kind: "silent", path }] : [];
    });
    return { changes: silent, compared: 0 };
  }
  const changes: MorningChange[] = [];
  let compared = 0;
  for (const [path, own] of Object.entries(now.paths)) {
    const side = sides.get(path);
    const whole = side && path.slice(0, -nameSecondSide("", side).length);
    // If a path is silent, both sides are.
    if (whole !== undefined && isSilent(now.paths[whole] ?? {})) continue;
    if (isUnmeasured(path)) {
      changes.push({ kind: "unmeasured", path });
      continue;
    }
    const before = good.paths[path];
    if (before === undefined) {
      if (isSilent(own)) changes.push({ kind: "silent", path });
      continue;
    }
    compared++;
    if (isSilent(own) && isSilent(before)) continue;
    if (isSilent(own)) changes.push({ kind: "silent", path });
    else if (isSilent(before)) changes.push({ kind: "back", path });
    else changes.push(...listChanges(path, own, before));
  }
  for (const [paths, own] of Object.entries(now.sums ?? {})) {
    const before = good.sums?.[paths];
    if (before === undefined) continue;
    const { path, last } = findEnds(paths, Object.keys(now.paths));
    changes.push(
      ...listChanges(path, own, before, leastOfSums).map(
        (one) => ({ ...one, last }) as MorningChange,
      ),
    );
  }
  const counts = new Map<Side | undefined, number>();
  for (const path of Object.keys(now.paths)) {
    if (good.paths[path] === undefined) continue;
    counts.set(sides.get(path), (counts.get(sides.get(path)) ?? 0) + 1);
  }
  return {
    against: good.date,
    changes: keepLargestPoints(
      sortChanges(joinSides(joinCommon(changes, compared), counts, sides)),
    ),
    compared,
  };
}

type Side = "left" | "right";

/** The first and last of paths measured together; a name may contain a comma. */
function findEnds(
  joined: string,
  paths: readonly string[],
): { readonly path: string; readonly last: string } {
  const longest = (found: readonly string[]) =>
    [...found].sort((a, b) => b.length - a.length)[0] ?? joined;
  return {
    path: longest(paths.filter((path) => joined.startsWith(`${path},`))),
    last: longest(paths.filter((path) => joined.endsWith(`,${path}`))),
  };
}

/** A change common to one side only: a fault of the bus after the pan. */
function joinSides(
  changes: readonly MorningChange[],
  counts: ReadonlyMap<Side | undefined, number>,
  sides: ReadonlyMap<string, Side>,
): readonly MorningChange[] {
  if (sides.size === 0) return changes;
  const [second = "right"] = sides.values();
  const groups = [second, second === "left" ? ("right" as const) : ("left" as const)];
  return groups.reduce((rest, side) => {
    const key = side === second ? second : undefined;
    const isOwn = (one: MorningChange) =>
      one.kind === "reading" && one.last === undefined && sides.get(one.path) === key;
    const joined = joinCommon(rest.filter(isOwn), counts.get(key) ?? 0);
    const silent = rest.filter((one) => one.kind === "silent" && sides.get(one.path) === key);
    // If the first side is silent, it is not known here whether the second is.
    const isMissing =
      key !== undefined && silent.length >= leastAlike && silent.length === counts.get(key);
    return [
      ...rest.filter((one) => !isOwn(one) && !(isMissing && silent.includes(one))),
      ...(isMissing
        ? [{ kind: "missing" as const, side, paths: silent.length, path: `all, ${side}` }]
        : []),
      ...joined.map((one) => (one.kind === "common" ? { ...one, side } : one)),
    ];
  }, changes);
}

type Figures = Readonly<Record<string, number>>;

function isSilent(own: Figures): boolean {
  return Object.keys(own).length === 0;
}

function listChanges(
  path: string,
  own: Figures,
  before: Figures,
  leastOf = 0,
): readonly MorningChange[] {
  const hiss = before[getReadingId("hiss")];
  return Object.entries(own).flatMap(([reading, value]): MorningChange[] => {
    const was = before[reading];
    if (was === undefined) return [];
    const lines = humLines.get(reading);
    // Hum below the hiss does not count: it is limited to the level of hiss on a good day, as
    // louder hiss is reported separately.
    const drown = (humDb: number) =>
      lines === undefined || hiss === undefined ? humDb : floorHum(humDb, hiss, lines);
    const change = drown(value) - drown(was);
    const least = Math.max(leastOf, leastChangeOf(reading), lines === undefined ? 0 : leastOfHum);
    const harm = lines === undefined ? (findReadingKind(reading)?.harm ?? "both") : "up";
    // Improvements are not reported.
    const isWorse = harm === "both" || harm === "none" || (harm === "up" ? change > 0 : change < 0);
    if (!isWorse || Math.abs(change) <= least) return [];
    return [{ kind: "reading", path, reading, change, times: Math.abs(change) / least }];
  });
}

/**
 * The smallest relevant change of a reading, in its unit; for linear units a share of the value.
 */
function leastChangeOf(reading: string): number {
  const point = findCurvePoint(reading);
  if (point !== undefined) return point.least;
  const kind = findReadingKind(reading);
  const least = kind?.leastChange ?? kind?.least ?? usualLeast;
  return typeof least === "number" ? least : usualLeast;
}

/** Merges a change that is the same on all paths into one change of a shared part. */
function joinCommon(changes: readonly MorningChange[], compared: number): readonly MorningChange[] {
  const readings = new Set(
    changes.flatMap((one) =>
      one.kind === "reading" && one.last === undefined ? [one.reading] : [],
    ),
  );
  let rest = [...changes];
  for (const reading of readings) {
    const own = rest.filter(
      (one): one is Extract<MorningChange, { kind: "reading" }> =>
        one.kind === "reading" && one.reading === reading && one.last === undefined,
    );
    if (own.length < leastAlike || own.length < compared) continue;
    const sizes = own.map(({ change }) => change);
    const middle = median(sizes);
    const slack = Math.max(alikeLeast, alikeShare * Math.abs(middle));
    if (sizes.some((size) => Math.abs(size - middle) > slack)) continue;
    const times = median(own.map((one) => one.times));
    rest = rest.filter((one) => !own.includes(one as (typeof own)[number]));
    rest.push({ kind: "common", reading, change: middle, paths: own.length, times });
  }
  return rest;
}

/** Keeps the first of several changed points of one curve on a path: they are one change. */
function keepLargestPoints(sorted: readonly MorningChange[]): readonly MorningChange[] {
  const told = new Set<string>();
  return sorted.filter((one) => {
    const point = "reading" in one ? findCurvePoint(one.reading) : undefined;
    if (point === undefined) return true;
    const place =
      one.kind === "reading" ? [one.path, one.last] : ["all", "side" in one && one.side];
    const key = JSON.stringify([point.curve, place]);
    if (told.has(key)) return false;
    told.add(key);
    return true;
  });
}

function sortChanges(changes: readonly MorningChange[]): readonly MorningChange[] {
  const weight = (one: MorningChange) => {
    if (one.kind === "silent" || one.kind === "missing") return Number.POSITIVE_INFINITY;
    if (one.kind === "unmeasured") return Number.MAX_VALUE;
    if (one.kind === "back") return -1;
    // Level and gain are the same change: only the level is reported.
    return one.reading === getReadingId("gain") ? one.times - 1e-3 : one.times;
  };
  return [...changes].sort((a, b) => weight(b) - weight(a));
}
