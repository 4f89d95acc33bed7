import { median, normalFromStudent } from "../../dsp/robust.js";
import { student95 } from "../../dsp/student.js";
import { DeskroundError } from "../../errors.js";
import { toolVersion } from "../../version.js";
import { realSignificance } from "../compare/change.js";
import { courseOf, floorOf, harmOf } from "../compare/floors.js";
import { commonShift, shiftError } from "../compare/shift.js";
import type { Round, RoundPath } from "../types.js";
import { type Ageing, ageings } from "./ageing.js";
import { epochsOf } from "./epochs.js";
import { partedAtJumps } from "./jumps.js";
import {
  crossingOf,
  type Doubt,
  familyDoubt,
  heightAt,
  type Line,
  lineDoubt,
  lineThrough,
} from "./line.js";
import { outlookOf } from "./outlook.js";
import { type Series, scaled, seriesOf, toneOf, unscaled, yearMs } from "./series.js";
import type { Crossing, FamilyTrend, PathTrend, Trend, TrendLimit, Trends } from "./types.js";

/** Fewer rounds than this make no trend. */
export const leastRounds = 3;
/** A limit further off than this is of no concern, years. */
const horizonYears = 30;

/** The limits that a reading of a path may come to; none where it has none. */
export type LimitsOf = (path: RoundPath, reading: string) => readonly TrendLimit[];

/**
 * How the readings that age go from round to round, and when each would come to its limit.
 *
 * Each path's line is its own; how far points scatter about lines is learnt from all siblings. Where
 * the interface was changed or a part exchanged, a line starts anew and keeps its slope. Significance
 * is held to what chance makes of some thousand trends; intervals are of 95 %.
 *
 * @param rounds of one desk, oldest first
 * @throws DeskroundError `usage` for fewer than three rounds
 */
export function trendsOf(rounds: readonly Round[], limitsOf: LimitsOf): Trends {
  const last = rounds.at(-1);
  if (last === undefined || rounds.length < leastRounds) {
    throw new DeskroundError(
      "usage",
      `A trend needs ${leastRounds} rounds; there ${rounds.length === 1 ? "is 1" : `are ${rounds.length}`}.`,
      "`deskround compare` holds two rounds against each other.",
    );
  }
  const { epochs, notes } = epochsOf(rounds);
  const trends = ageings.map((ageing) => {
    const families = new Map<string, Series[]>();
    for (const series of seriesOf(rounds, epochs, ageing)) {
      const { family } = series.path;
      families.set(family, [...(families.get(family) ?? []), series]);
    }
    const each = [...families.values()].map((family) =>
      familyTrends(family, ageing, rounds, limitsOf),
    );
    return {
      families: each.flatMap(({ family }) => family ?? []),
      paths: each.flatMap(({ paths }) => paths),
    };
  });
  const paths = trends.flatMap((one) => one.paths);
  return {
    format: "deskround-trends",
    version: 1,
    desk: last.desk.name,
    rounds: rounds.map(({ id, date }) => ({ id, date })),
    tool: { name: "deskround", version: toolVersion },
    notes,
    outlook: outlookOf(paths),
    families: trends.flatMap((one) => one.families),
    paths,
  };
}

function familyTrends(
  family: readonly Series[],
  ageing: Ageing,
  rounds: readonly Round[],
  limitsOf: LimitsOf,
): { readonly family: FamilyTrend | undefined; readonly paths: readonly PathTrend[] } {
  const least = leastStep(ageing);
  const parted = partedAtJumps(family, least);
  const fitted = family.flatMap(({ path }, k) => {
    const line = parted[k].points.length < leastRounds ? undefined : lineThrough(parted[k].points);
    return line === undefined ? [] : [{ path, line, parts: parted[k] }];
  });
  const doubt = familyDoubt(fitted.map(({ line }) => line));
  const paths = fitted.map(({ path, line, parts }): PathTrend => {
    const own = lineDoubt(line, doubt, fitted.length);
    return {
      path: path.path,
      strip: path.strip,
      input: path.input,
      family: path.family,
      ...trendOf(line, own, path, ageing, rounds, limitsOf(path, ageing.reading)),
      jumps: parts.jumps.map(({ round, y, expected }) => ({
        round: rounds[round].id,
        change: unscaled(y, 0, ageing) - unscaled(expected, 0, ageing),
      })),
      leftOut: parts.leftOut.map((round) => rounds[round].id),
    };
  });
  const lines = fitted.map(({ line }) => line);
  return { family: familyTrend(lines, paths, ageing), paths };
}

/** The smallest step that may be a jump: the reading's own floor of concern, on the series' scale. */
function leastStep(ageing: Ageing): number {
  const floor = floorOf(ageing.reading, 1);
  return ageing.scale === "logarithm" ? Math.log1p(floor) : floor;
}

function valueAt(line: Line, path: RoundPath, ageing: Ageing): number {
  return unscaled(heightAt(line, 0), toneOf(path), ageing);
}

function trendOf(
  line: Line,
  doubt: Doubt,
  path: RoundPath,
  ageing: Ageing,
  rounds: readonly Round[],
  limits: readonly TrendLimit[],
): Trend {
  const { reading } = ageing;
  const value = valueAt(line, path, ageing);
  // On a logarithmic scale a slope is a share of the value.
  const size = ageing.scale === "logarithm" ? value : 1;
  const error = doubt.deviation / Math.sqrt(line.spread);
  const significance = error > 0 ? normalFromStudent(line.slope / error, doubt.freedom) : 0;
  const significant = Math.abs(significance) >= realSignificance;
  const course = courseOf(harmOf(reading), line.slope);
  const beyond = limits.find(({ value: limit, side }) =>
    side === "upper" ? value > limit : value < limit,
  );
  const crossing =
    significant && course === "worse" && beyond === undefined
      ? firstCrossing(line, doubt, path, ageing, rounds, limits)
      : undefined;
  return {
    reading,
    unit: unitOf(path, ageing),
    rounds: line.points,
    value,
    perYear: line.slope * size,
    uncertainty: student95(doubt.freedom) * error * size,
    significance,
    significant,
    course,
    ...(crossing === undefined ? {} : { crossing }),
    ...(beyond === undefined ? {} : { beyond }),
  };
}

function unitOf({ readings }: RoundPath, { reading }: Ageing): string {
  return readings[reading]?.unit ?? "";
}

/** The limit that comes first, if any within a lifetime. */
function firstCrossing(
  line: Line,
  doubt: Doubt,
  path: RoundPath,
  ageing: Ageing,
  rounds: readonly Round[],
  limits: readonly TrendLimit[],
): Crossing | undefined {
  const end = Date.parse(rounds[rounds.length - 1].date);
  const dateAt = (years: number) => new Date(end + years * yearMs).toISOString().slice(0, 10);
  const crossings = limits.flatMap((limit): Crossing[] => {
    if ((limit.side === "upper") !== line.slope > 0) return [];
    const found = crossingOf(line, doubt, scaled(limit.value, toneOf(path), ageing));
    if (found === undefined || !(found.years >= 0) || found.years > horizonYears) return [];
    const { years, until } = found;
    const from = Math.max(0, found.from);
    return [
      {
        limit,
        years,
        from,
        until,
        date: dateAt(years),
        fromDate: dateAt(from),
        untilDate: dateAt(Math.min(until, 10 * horizonYears)),
      },
    ];
  });
  return crossings.sort((a, b) => a.years - b.years)[0];
}

/** What most of a family's paths do together, with the uncertainty that their scatter gives it. */
function familyTrend(
  lines: readonly Line[],
  paths: readonly PathTrend[],
  ageing: Ageing,
): FamilyTrend | undefined {
  if (paths.length === 0) return undefined;
  // On the scale of the lines, where a corner's slope is a share of it.
  const own = median(
    paths.map(({ uncertainty, value: one }) =>
      ageing.scale === "logarithm" ? uncertainty / 2 / one : uncertainty / 2,
    ),
  );
  const crowd = commonShift(
    lines.map(({ slope }) => slope),
    own,
  );
  if (crowd === undefined) return undefined;
  const value = median(paths.map((path) => path.value));
  const size = ageing.scale === "logarithm" ? value : 1;
  const freedom = Math.max(1, crowd.count - 1);
  const error = shiftError(crowd);
  const significance = error > 0 ? normalFromStudent(crowd.median / error, freedom) : 0;
  const [first] = paths;
  return {
    family: first.family,
    paths: lines.length,
    reading: ageing.reading,
    unit: first.unit,
    rounds: Math.max(...lines.map(({ points }) => points)),
    value,
    perYear: crowd.median * size,
    uncertainty: student95(freedom) * error * size,
    significance,
    significant: Math.abs(significance) >= realSignificance,
    course: courseOf(harmOf(ageing.reading), crowd.median),
  };
}
