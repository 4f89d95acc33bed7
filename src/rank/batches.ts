import { median, qn } from "../dsp/robust.js";
import type { BatchFacet, ReadingKind } from "../measure/reading-kind.js";
import { type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import { type FamilyMembers, groupFamilies, minSiblings, type PathToRank } from "./family-stats.js";

/** A family that consists of two batches: strips that were worked on, and the others. */
export interface Batches {
  readonly family: string;
  /** Paths of either, in the order given; the first path's batch first. */
  readonly members: readonly [readonly string[], readonly string[]];
  /** Readings in which they differ, one per group of dependent readings. */
  readonly differ: readonly ReadingId[];
}

/** Either batch holds at least this share of the paths, and never less than a family needs. */
const leastShare = 0.25;
/**
 * How far apart two crowds are: D = |μ₁ − μ₂| / √((σ₁² + σ₂²)/2), above 2 for a clean separation
 * (K. M. Ashman, C. M. Bird, S. E. Zepf, "Detecting bimodality in astronomical datasets", Astron.
 * J. 108, 1994). Far more is required here, because many readings are tried.
 */
const leastSeparation = 5;
/** In practical floors; a larger difference is a fault of many paths, not another batch. */
const mostFloors = 4;
/** This many different readings must split a family in the same way. */
const leastReadings = 2;
/** Share of paths on which readings must agree; the rest may be faulty. */
const agreement = 0.85;
/** A practical floor is this many assumed standard deviations. */
const leastInDeviations = 4;

interface Parting {
  readonly kind: ReadingKind<ReadingId>;
  readonly group: string;
  /** Paths on the upper side, of all that have the reading. */
  readonly upper: ReadonlySet<string>;
  readonly all: ReadonlySet<string>;
  /** Paths by which it was found. */
  readonly paths: readonly string[];
}

/**
 * Finds families that are two batches, such as renewed and original strips: at least two
 * independent readings split it cleanly and in the same way.
 *
 * @param paths all paths of a round
 * @example
 * findBatches([]); // []
 */
export function findBatches(paths: readonly PathToRank[]): readonly Batches[] {
  return [...groupFamilies(paths)].flatMap(([family, siblings]) => {
    const sound = withoutFaulty(siblings);
    // Dependent readings count once; those that depend on cables or chance, never.
    const partings = readingKinds.flatMap((kind) =>
      kind.batch === undefined ? [] : (partingOf(sound, siblings, kind, kind.batch) ?? []),
    );
    const best = partings
      .map((one) => partings.filter((other) => agree(one, other)))
      .reduce<readonly Parting[]>((a, b) => (unlike(b) > unlike(a) ? b : a), []);
    if (unlike(best) < leastReadings) return [];
    return [batchesBy(family, siblings, best)];
  });
}

/** In practical floors; another batch differs by less than this, a fault may differ by more. */
const mostOffFloors = mostFloors + 1;

/** Leaves out paths whose faults would look like a batch. */
function withoutFaulty(siblings: FamilyMembers): FamilyMembers {
  const usual = readingKinds.flatMap((kind) => {
    if (kind.batch === undefined || kind.least === 0) return [];
    const values = siblings.flatMap(({ measurement }) => {
      const reading = measurement.readings[kind.id];
      return reading ? [scaled(kind, reading.value)] : [];
    });
    const floor = kind.batch.leastOctaves ?? kind.least;
    return values.length < minSiblings ? [] : [{ kind, middle: median(values), floor }];
  });
  return siblings.filter(({ measurement }) =>
    usual.every(({ kind, middle, floor }) => {
      const reading = measurement.readings[kind.id];
      return !reading || Math.abs(scaled(kind, reading.value) - middle) <= mostOffFloors * floor;
    }),
  );
}

/**
 * The paths with the batch as their family, if the family is split.
 *
 * @example
 * const batches = [{ family: "mic", members: [["1/mic"], ["2/mic"]], differ: [] }];
 * const [one, other] = applyBatches([{ path: "1/mic", family: "mic" }, { path: "2/mic", family: "mic" }], batches);
 * one.family; // "mic, batch A"
 * other.family; // "mic, batch B"
 */
export function applyBatches(
  paths: readonly PathToRank[],
  batches: readonly Batches[],
): readonly PathToRank[] {
  return paths.map((one) => {
    const found = batches.find(({ family }) => family === one.family);
    const batch = found?.members.findIndex((members) => members.includes(one.path)) ?? -1;
    return batch < 0 ? one : { ...one, family: `${one.family}, batch ${"AB"[batch]}` };
  });
}

function unlike(partings: readonly Parting[]): number {
  return new Set(partings.map(({ group }) => group)).size;
}

function partingOf(
  sound: FamilyMembers,
  siblings: FamilyMembers,
  kind: ReadingKind<ReadingId>,
  { group, leastOctaves }: BatchFacet,
): Parting | undefined {
  const valuesOf = (family: FamilyMembers) =>
    family.flatMap(({ path, measurement }) => {
      const reading = measurement.readings[kind.id];
      return reading ? [{ path, value: scaled(kind, reading.value) }] : [];
    });
  const sorted = valuesOf(sound).sort((a, b) => a.value - b.value);
  const count = sorted.length;
  const least = Math.max(minSiblings, Math.ceil(leastShare * count));
  const floor = leastOctaves ?? kind.least;
  let best: { middle: number; separation: number } | undefined;
  for (let at = least; at <= count - least; at++) {
    const [low, high] = [sorted.slice(0, at), sorted.slice(at)].map((half) =>
      half.map(({ value }) => value),
    );
    const [below, above] = [median(low), median(high)];
    const apart = above - below;
    if (apart > mostFloors * floor) continue;
    const spread = Math.hypot(qn(low), qn(high), floor / leastInDeviations) / Math.SQRT2;
    const separation = apart / spread;
    // A path may be on the wrong side of the cut: robust spreads ignore a single one.
    const middle = (below + above) / 2;
    if (!best || separation > best.separation) best = { middle, separation };
  }
  if (!best || best.separation < leastSeparation) return undefined;
  const { middle } = best;
  const all = valuesOf(siblings);
  return {
    kind,
    group,
    upper: new Set(all.flatMap(({ path, value }) => (value > middle ? [path] : []))),
    all: new Set(all.map(({ path }) => path)),
    paths: sorted.map(({ path }) => path),
  };
}

/** Readings compared by ratio are scaled to octaves. */
function scaled({ compared }: ReadingKind, value: number): number {
  return compared === "ratio" ? Math.log2(value) : value;
}

/** Whether two readings split a family equally, whichever side is higher. */
function agree(a: Parting, b: Parting): boolean {
  const { shared, alike } = countAlike(a, b);
  return Math.max(alike, shared - alike) >= agreement * shared;
}

/** Paths that two readings have in common, and those of them that are on the same side in both. */
function countAlike(a: Parting, b: Parting) {
  const shared = a.paths.filter((path) => b.paths.includes(path));
  const alike = shared.filter((path) => a.upper.has(path) === b.upper.has(path));
  return { shared: shared.length, alike: alike.length };
}

/**
 * Assigns every path to the batch indicated by most readings; on a tie, to the one in which the
 * first reading is lower.
 */
function batchesBy(family: string, siblings: FamilyMembers, partings: readonly Parting[]): Batches {
  const [lead] = partings;
  const votes = siblings.map(({ path }) => {
    const sum = partings.reduce((total, one) => {
      if (!one.all.has(path)) return total;
      const turned = alongside(lead, one);
      return total + (one.upper.has(path) === turned ? 1 : -1);
    }, 0);
    return { path, upper: sum > 0 };
  });
  const first = votes[0].upper;
  const of = (upper: boolean) => votes.filter((v) => v.upper === upper).map(({ path }) => path);
  const named = new Map(partings.map(({ kind, group }) => [group, kind.id]));
  return { family, members: [of(first), of(!first)], differ: [...named.values()] };
}

function alongside(a: Parting, b: Parting): boolean {
  const { shared, alike } = countAlike(a, b);
  return 2 * alike >= shared;
}
