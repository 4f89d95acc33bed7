import { findReadingKind } from "../measure/reading-kinds.js";
import type { PathToRank } from "./family-stats.js";
import { toPartnerPath } from "./partner-path.js";
import { type RankedPath, rankPaths } from "./rank.js";

/** A path ranked by the odder of its two sides. */
export interface RankedPartner extends RankedPath {
  /** The side with its findings: the path itself, or its second side as a path. */
  readonly spoken: PathToRank;
}

/**
 * Ranks paths as {@link rankPaths} does and, for a stereo bus, also second sides among themselves.
 * A path is represented by its odder side: a fault after the pan shows on one side only, one before
 * it on both.
 *
 * @param paths all paths of a round
 * @returns the same paths in the same order
 * @example
 * const path = (name, gainDb) => ({
 *   path: name,
 *   family: "mic",
 *   measurement: {
 *     readings: { gain: { value: gainDb, unit: "dB", uncertainty: 0.01 } },
 *     absent: {},
 *     curves: {},
 *   },
 * });
 * const names = ["1/mic", "2/mic", "3/mic", "4/mic", "5/mic", "6/mic"];
 * const ranked = rankPartners([...names.map((name) => path(name, 0)), path("7/mic", -10)]);
 * ranked[6].rank; // 1
 * ranked[6].spoken.path; // "7/mic"
 */
export function rankPartners(paths: readonly PathToRank[]): readonly RankedPartner[] {
  const seconds = paths.map(toPartnerPath);
  const ranked = rankPaths(paths);
  const rankedSeconds = rankPaths(seconds.flatMap((one) => one ?? []));
  const second = new Map(rankedSeconds.map((one) => [one.path, one]));
  const sides = ranked.map((first, i): RankedPartner => {
    const input = seconds[i];
    const other = input && second.get(input.path);
    if (!input || !other || other.oddness <= first.oddness) return { ...first, spoken: paths[i] };
    const side = paths[i].measurement?.partner?.side;
    const ofSide = side === undefined ? {} : { side };
    const findings = [
      ...other.findings.map((finding) => ({ ...finding, ...ofSide })),
      ...first.findings.filter(({ reading }) => findReadingKind(reading)?.sides === "both"),
    ];
    return { ...first, oddness: other.oddness, findings, spoken: input };
  });
  return inOrder(sides);
}

/** New ranks, 1 for the oddest. */
function inOrder(sides: readonly RankedPartner[]): readonly RankedPartner[] {
  const counted = sides.filter(({ rank }) => rank !== undefined);
  const order = [...counted].sort((a, b) => b.oddness - a.oddness || (a.rank ?? 0) - (b.rank ?? 0));
  const place = new Map(order.map((one, i) => [one.path, i + 1]));
  return sides.map((one) => {
    const rank = place.get(one.path);
    return rank === undefined ? one : { ...one, rank };
  });
}
