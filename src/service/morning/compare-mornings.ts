import { median } from "../../dsp/robust.js";
import type { MorningEntry } from "../../history/morning-log.js";
import { findReadingKind, getReadingId } from "../../measure/reading-kinds.js";

/** What is not as it was. */
export type MorningChange =
  | { readonly kind: "silent"; readonly path: string }
  | { readonly kind: "back"; readonly path: string }
  | {
      readonly kind: "reading";
      /** A path, or several that were heard together, joined by commas. */
      readonly path: string;
      readonly reading: string;
      readonly change: number;
      /** How many times what would be of no concern. */
      readonly times: number;
    }
  | {
      /** All paths alike: what they share. */
      readonly kind: "common";
      readonly reading: string;
      readonly change: number;
      readonly paths: number;
      readonly times: number;
    };

/** A morning against the last good one. */
export interface MorningComparison {
  /** Date of the last good day; absent where there is none that can be compared. */
  readonly against?: string;
  /** What weighs most first. */
  readonly changes: readonly MorningChange[];
  readonly compared: number;
}

/** A change of a day that is of no concern, where a reading says nothing else (common practice). */
const usualLeast = 1;
/** Noise and hum of an evening differ with what else is switched on (common practice). */
const leastOfSums = 2;
/** All paths are off alike when they differ by less than this share of it, and by no more than this. */
const alikeShare = 0.3;
const alikeLeast = 0.3;
/** Fewer paths than these have nothing in common. */
const leastAlike = 3;

/**
 * Compares a morning with the last good one of the same signal and unit.
 *
 * @param earlier oldest first
 */
export function compareMornings(
  now: Omit<MorningEntry, "verdict" | "sentence">,
  earlier: readonly MorningEntry[],
): MorningComparison {
  const good = [...earlier]
    .reverse()
    .find((one) => one.verdict === "good" && one.signal === now.signal && one.unit === now.unit);
  if (good === undefined) {
    const silent = Object.entries(now.paths).flatMap(([path, own]): MorningChange[] =>
      Object.keys(own).length === 0 ? [{ kind: "silent", path }] : [],
    );
    return { changes: silent, compared: 0 };
  }
  const changes: MorningChange[] = [];
  let compared = 0;
  for (const [path, own] of Object.entries(now.paths)) {
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
    if (before !== undefined) changes.push(...listChanges(paths, own, before, leastOfSums));
  }
  return { against: good.date, changes: sortChanges(joinCommon(changes, compared)), compared };
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
  return Object.entries(own).flatMap(([reading, value]): MorningChange[] => {
    const was = before[reading];
    if (was === undefined) return [];
    const change = value - was;
    const least = Math.max(leastOf, leastChangeOf(reading));
    const { harm = "both" } = findReadingKind(reading) ?? {};
    // Better than on a good day is no news for a morning.
    const isWorse = harm === "both" || harm === "none" || (harm === "up" ? change > 0 : change < 0);
    if (!isWorse || Math.abs(change) <= least) return [];
    return [{ kind: "reading", path, reading, change, times: Math.abs(change) / least }];
  });
}

/** The smallest change of a reading that is of concern, in its unit; a share of a value as it is. */
function leastChangeOf(reading: string): number {
  const kind = findReadingKind(reading);
  const least = kind?.leastChange ?? kind?.least ?? usualLeast;
  return typeof least === "number" ? least : usualLeast;
}

/** A reading that moved alike on all paths is one change, of what they share. */
function joinCommon(changes: readonly MorningChange[], compared: number): readonly MorningChange[] {
  const readings = new Set(
    changes.flatMap((one) =>
      one.kind === "reading" && !one.path.includes(",") ? [one.reading] : [],
    ),
  );
  let rest = [...changes];
  for (const reading of readings) {
    const own = rest.filter(
      (one): one is Extract<MorningChange, { kind: "reading" }> =>
        one.kind === "reading" && one.reading === reading && !one.path.includes(","),
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

function sortChanges(changes: readonly MorningChange[]): readonly MorningChange[] {
  const weight = (one: MorningChange) => {
    if (one.kind === "silent") return Number.POSITIVE_INFINITY;
    if (one.kind === "back") return -1;
    // Level and its gain are one thing: the level is told.
    return one.reading === getReadingId("gain") ? one.times - 1e-3 : one.times;
  };
  return [...changes].sort((a, b) => weight(b) - weight(a));
}
