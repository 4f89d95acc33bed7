import { median, normalFromStudent } from "../../dsp/robust.js";
import { getStudent95 } from "../../dsp/student.js";
import { DeskroundError } from "../../errors.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { toolVersion } from "../../version.js";
import { realSignificance } from "../compare/change.js";
import { computeCommonShift, computeShiftError } from "../compare/shift.js";
import { classifyCourse, getHarmDirection, getRelevanceThreshold } from "../compare/thresholds.js";
import type { PathFacts, RoundFacts } from "../facts/types.js";
import { type AgeingIndicator, ageingIndicators } from "./ageing.js";
import { splitIntoEpochs } from "./epochs.js";
import { splitAtJumps } from "./jumps.js";
import { computeOutlook } from "./outlook.js";
import {
  arrangeRounds,
  buildSeries,
  fromScale,
  getGain,
  type Series,
  toScale,
  yearMs,
} from "./series.js";
import {
  computeCrossing,
  computeHeight,
  estimateFamilyScatter,
  estimateLineScatter,
  fitTrendLine,
  type ScatterEstimate,
  type TrendLine,
} from "./trend-line.js";
import type { Crossing, FamilyTrend, PathTrend, Trend, TrendLimit, Trends } from "./types.js";

/** Fewer rounds than this make no trend. */
export const minRounds = 3;
/** The readings that trends are made from, the level that all may change by among them. */
export const trendReadings: readonly string[] = [
  ...new Set([
    ...ageingIndicators.map(({ reading }) => reading),
    getReadingId("gain"),
    getReadingId("level"),
  ]),
];
/** A limit further off than this is of no concern, years. */
const horizonYears = 30;

/** The limits that a reading of a path, by its name, may come to; none where it has none. */
export type LimitsOf = (path: string, reading: string) => readonly TrendLimit[];

/**
 * How the readings that age go from round to round, and when each would come to its limit.
 *
 * Each path's line is its own; how far points scatter about lines is learnt from all siblings. Where
 * the interface was changed or a part replaced, a line restarts and keeps its slope. Significance
 * is held to what chance makes of some thousand trends; intervals are of 95 %.
 *
 * @param rounds of one desk, oldest first
 * @param renewed strips that got new parts, with the day (ISO 8601): they age from then on
 * @throws DeskroundError `usage` for fewer than three rounds
 */
export function computeTrends(
  rounds: readonly RoundFacts[],
  limitsOf: LimitsOf,
  renewed?: ReadonlyMap<string, string>,
): Trends {
  const last = rounds.at(-1);
  if (last === undefined || rounds.length < minRounds) {
    throw new DeskroundError(
      "usage",
      `A trend needs ${minRounds} rounds; there ${rounds.length === 1 ? "is 1" : `are ${rounds.length}`}.`,
      "`deskround compare` holds two rounds against each other.",
    );
  }
  const { epochs, conditions } = splitIntoEpochs(rounds);
  const arranged = arrangeRounds(rounds, epochs, renewed);
  const trends = ageingIndicators.map((ageing) => {
    const families = new Map<string, Series[]>();
    for (const series of buildSeries(arranged, ageing)) {
      const { family } = series.path;
      const own = families.get(family);
      if (own === undefined) families.set(family, [series]);
      else own.push(series);
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
    conditions,
    outlook: computeOutlook(paths),
    families: trends.flatMap((one) => one.families),
    paths,
  };
}

function familyTrends(
  family: readonly Series[],
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limitsOf: LimitsOf,
): { readonly family: FamilyTrend | undefined; readonly paths: readonly PathTrend[] } {
  const least = leastStep(ageing);
  const parted = splitAtJumps(family, least);
  const fitted = family.flatMap(({ path }, k) => {
    const line = parted[k].points.length < minRounds ? undefined : fitTrendLine(parted[k].points);
    return line === undefined ? [] : [{ path, line, parts: parted[k] }];
  });
  const doubt = estimateFamilyScatter(fitted.map(({ line }) => line));
  const paths = fitted.map(({ path, line, parts }): PathTrend => {
    const own = estimateLineScatter(line, doubt, fitted.length);
    return {
      path: path.path,
      strip: path.strip,
      input: path.input,
      family: path.family,
      ...trendOf(line, own, path, ageing, rounds, limitsOf(path.path, ageing.reading)),
      jumps: parts.jumps.map(({ round, y, expected }) => ({
        round: rounds[round].id,
        change: fromScale(y, 0, ageing) - fromScale(expected, 0, ageing),
      })),
      leftOut: parts.leftOut.map((round) => rounds[round].id),
    };
  });
  const lines = fitted.map(({ line }) => line);
  return { family: familyTrend(lines, paths, ageing), paths };
}

/** The smallest step that may be a jump: the reading's own floor of concern, on the series' scale. */
function leastStep(ageing: AgeingIndicator): number {
  const floor = getRelevanceThreshold(ageing.reading, 1);
  return ageing.scale === "logarithm" ? Math.log1p(floor) : floor;
}

function valueAt(line: TrendLine, path: PathFacts, ageing: AgeingIndicator): number {
  return fromScale(computeHeight(line, 0), getGain(path), ageing);
}

function trendOf(
  line: TrendLine,
  doubt: ScatterEstimate,
  path: PathFacts,
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limits: readonly TrendLimit[],
): Trend {
  const { reading } = ageing;
  const value = valueAt(line, path, ageing);
  // On a logarithmic scale a slope is a share of the value.
  const size = ageing.scale === "logarithm" ? value : 1;
  const error = doubt.deviation / Math.sqrt(line.spread);
  const significance = error > 0 ? normalFromStudent(line.slope / error, doubt.freedom) : 0;
  const significant = Math.abs(significance) >= realSignificance;
  const course = classifyCourse(getHarmDirection(reading), line.slope);
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
    uncertainty: getStudent95(doubt.freedom) * error * size,
    significance,
    significant,
    course,
    ...(crossing === undefined ? {} : { crossing }),
    ...(beyond === undefined ? {} : { beyond }),
  };
}

function unitOf({ readings }: PathFacts, { reading }: AgeingIndicator): string {
  return readings[reading]?.unit ?? "";
}

/** The limit that comes first, if any within a lifetime. */
function firstCrossing(
  line: TrendLine,
  doubt: ScatterEstimate,
  path: PathFacts,
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limits: readonly TrendLimit[],
): Crossing | undefined {
  const end = Date.parse(rounds[rounds.length - 1].date);
  const dateAt = (years: number) => new Date(end + years * yearMs).toISOString().slice(0, 10);
  const crossings = limits.flatMap((limit): Crossing[] => {
    if ((limit.side === "upper") !== line.slope > 0) return [];
    const found = computeCrossing(line, doubt, toScale(limit.value, getGain(path), ageing));
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
  lines: readonly TrendLine[],
  paths: readonly PathTrend[],
  ageing: AgeingIndicator,
): FamilyTrend | undefined {
  if (paths.length === 0) return undefined;
  // On the scale of the lines, where a corner's slope is a share of it.
  const own = median(
    paths.map(({ uncertainty, value: one }) =>
      ageing.scale === "logarithm" ? uncertainty / 2 / one : uncertainty / 2,
    ),
  );
  const crowd = computeCommonShift(
    lines.map(({ slope }) => slope),
    own,
  );
  if (crowd === undefined) return undefined;
  const value = median(paths.map((path) => path.value));
  const size = ageing.scale === "logarithm" ? value : 1;
  const freedom = Math.max(1, crowd.count - 1);
  const error = computeShiftError(crowd);
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
    uncertainty: getStudent95(freedom) * error * size,
    significance,
    significant: Math.abs(significance) >= realSignificance,
    course: classifyCourse(getHarmDirection(ageing.reading), crowd.median),
  };
}
