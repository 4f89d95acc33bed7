import { median, normalFromStudent } from "../../dsp/robust.js";
import { getStudent95 } from "../../dsp/student.js";
import { DeskroundError } from "../../errors.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { formatCommand } from "../../text/program-name.js";
import { toolVersion } from "../../version.js";
import { realSignificance } from "../compare/change.js";
import { computeCommonShift, computeShiftError } from "../compare/shift.js";
import { classifyCourse, getHarmDirection, getRelevanceThreshold } from "../compare/thresholds.js";
import type { PathFacts, RoundFacts } from "../facts/types.js";
import { type AgeingIndicator, ageingIndicators } from "./ageing.js";
import { alignEpochs } from "./align-epochs.js";
import { chooseDrying, createCrossing, type Drying, distanceFromDrying } from "./choose-drying.js";
import {
  computeDryingHeight,
  computeDryingReach,
  type DatedCrossing,
  fitDrying,
} from "./drying.js";
import { splitIntoEpochs } from "./epochs.js";
import { type SplitSeries, splitAtJumps } from "./jumps.js";
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
import { computeStepCrossing, fitSteps, type StepLaw } from "./steps.js";
import { lastStretch, standsStill, withEpochsOf } from "./stretches.js";
import {
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

/** The limits that a reading of a path, by its name, may reach; none if it has none. */
export type LimitsOf = (path: string, reading: string) => readonly TrendLimit[];

/**
 * How the readings that age develop from round to round, and when each would reach its limit.
 *
 * Each path has its own line, or the course of one drying capacitor in a row of others; the scatter
 * about lines is estimated from all siblings. If the interface was changed or a part replaced, a
 * line restarts and keeps its slope. Significance allows for some thousand trends; intervals are
 * 95 % intervals.
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
      rounds.length === 2
        ? `\`${formatCommand("compare")}\` compares two rounds.`
        : `Each year's recordings add one: \`${formatCommand("analyze")}\`.`,
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
  const aligned = ageing.law === "drying" ? alignEpochs(family) : family;
  const soundY = ageing.law === "drying" ? soundHeight(aligned) : undefined;
  const parted = splitAtJumps(
    aligned,
    least,
    soundY === undefined ? undefined : (points) => distanceFromDrying(points, soundY),
  );
  const fitted = family.flatMap(({ path }, k) => {
    const { points } = parted[k];
    const asRead = withEpochsOf(family[k].points, points);
    const line = points.length < minRounds ? undefined : fitTrendLine(asRead);
    if (line === undefined) return [];
    const stretch = lastStretch(points);
    const laws = soundY === undefined || standsStill(stretch) ? [] : fitDrying(stretch, soundY);
    return [{ path, line, laws, parts: parted[k] }];
  });
  const doubt = estimateFamilyScatter(fitted.map(({ line }) => line));
  const paths = fitted.map(({ path, line, laws, parts }): PathTrend => {
    const own = estimateLineScatter(line, doubt, fitted.length);
    const drying = laws.length === 0 ? undefined : chooseDrying(laws, line, doubt, fitted.length);
    return {
      path: path.path,
      strip: path.strip,
      input: path.input,
      family: path.family,
      ...withSteps(
        trendOf(line, own, drying, path, ageing, rounds, limitsOf(path.path, ageing.reading)),
        drying?.straight === false ? undefined : stepsOf(parts, ageing),
        path,
        ageing,
        rounds,
        limitsOf(path.path, ageing.reading),
      ),
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

/** Steps for the worse, if the reading has a bad direction. */
function stepsOf(parts: SplitSeries, ageing: AgeingIndicator): StepLaw | undefined {
  const harm = getHarmDirection(ageing.reading);
  if (harm !== "up" && harm !== "down") return undefined;
  return fitSteps(parts, harm === "up" ? 1 : -1);
}

/**
 * A trend that ages in steps: between them it is steady, otherwise its line would say more.
 */
function withSteps(
  trend: Trend,
  law: StepLaw | undefined,
  path: PathFacts,
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limits: readonly TrendLimit[],
): Trend & Pick<PathTrend, "steps"> {
  if (law === undefined || trend.significant) return trend;
  const crossing =
    trend.beyond === undefined
      ? firstCrossing(
          law.step > 0,
          (height) => computeStepCrossing(law, height),
          path,
          ageing,
          rounds,
          limits,
        )
      : undefined;
  const now = fromScale(law.lastY, 0, ageing);
  return {
    ...trend,
    steps: {
      count: law.count,
      change: now - fromScale(law.lastY - law.step, 0, ageing),
      perYear: law.count / law.years,
    },
    ...(crossing === undefined ? {} : { crossing }),
  };
}

/** The corner that a family had before anything dried: the middle of the first of all its paths. */
function soundHeight(family: readonly Series[]): number | undefined {
  const first = family.flatMap(({ points }) => (points.length > 0 ? [points[0].y] : []));
  return first.length === 0 ? undefined : median(first);
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
  drying: Drying | undefined,
  path: PathFacts,
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limits: readonly TrendLimit[],
): Trend {
  const { reading } = ageing;
  const { value, slope, error, freedom, reach } =
    drying?.straight === false ? ofDrying(drying, path, ageing) : ofLine(line, doubt, path, ageing);
  // On a logarithmic scale a slope is a share of the value.
  const size = ageing.scale === "logarithm" ? value : 1;
  const significance = error > 0 ? normalFromStudent(slope / error, freedom) : 0;
  const significant = Math.abs(significance) >= realSignificance;
  const course = classifyCourse(getHarmDirection(reading), slope);
  const beyond = limits.find(({ value: limit, side }) =>
    side === "upper" ? value > limit : value < limit,
  );
  const crossing =
    significant && course === "worse" && beyond === undefined
      ? firstCrossing(
          slope > 0,
          createCrossing(line, doubt, drying, ageing),
          path,
          ageing,
          rounds,
          limits,
        )
      : undefined;
  const slight =
    significant && crossing === undefined && isSlight(reading, slope * size, value)
      ? { slight: true as const }
      : {};
  return {
    reading,
    unit: unitOf(path, ageing),
    rounds: line.points,
    value,
    perYear: slope * size,
    uncertainty: reach * size,
    significance,
    significant,
    course,
    ...slight,
    ...(crossing === undefined ? {} : { crossing }),
    ...(beyond === undefined ? {} : { beyond }),
  };
}

/** A slope is slight if its change over this many years is too small to matter. */
const slightYears = 10;

function isSlight(reading: string, perYear: number, value: number): boolean {
  return Math.abs(perYear) * slightYears < getRelevanceThreshold(reading, value);
}

function ofLine(
  line: TrendLine,
  { deviation, freedom }: ScatterEstimate,
  path: PathFacts,
  ageing: AgeingIndicator,
) {
  const error = deviation / Math.sqrt(line.spread);
  const reach = getStudent95(freedom) * error;
  return { value: valueAt(line, path, ageing), slope: line.slope, error, freedom, reach };
}

function ofDrying(
  { best, laws, weights, scatter }: Drying,
  path: PathFacts,
  ageing: AgeingIndicator,
) {
  const { y, slope, part } = computeDryingHeight(best, 0);
  const error = (part * scatter.deviation) / Math.sqrt(best.line.spread);
  return {
    value: fromScale(y, getGain(path), ageing),
    slope,
    // All of them agree that it dries.
    error,
    freedom: scatter.freedom,
    reach: computeDryingReach(laws, weights, scatter, slope),
  };
}

function unitOf({ readings }: PathFacts, { reading }: AgeingIndicator): string {
  return readings[reading]?.unit ?? "";
}

/** The limit that comes first, if any within a lifetime. */
function firstCrossing(
  rises: boolean,
  crossingAt: (height: number) => DatedCrossing | undefined,
  path: PathFacts,
  ageing: AgeingIndicator,
  rounds: readonly RoundFacts[],
  limits: readonly TrendLimit[],
): Crossing | undefined {
  const end = Date.parse(rounds[rounds.length - 1].date);
  const dateAt = (years: number) => new Date(end + years * yearMs).toISOString().slice(0, 10);
  const crossings = limits.flatMap((limit): Crossing[] => {
    if ((limit.side === "upper") !== rises) return [];
    const found = crossingAt(toScale(limit.value, getGain(path), ageing));
    if (found === undefined || !(found.years >= 0) || found.years > horizonYears) return [];
    const { years, until, open } = found;
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
        ...(open ? { open } : {}),
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
  // On the scale of the lines, on which a corner's slope is relative to it.
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
  const significant = Math.abs(significance) >= realSignificance;
  const slight = significant && isSlight(ageing.reading, crowd.median * size, value);
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
    significant,
    course: classifyCourse(getHarmDirection(ageing.reading), crowd.median),
    ...(slight ? { slight: true as const } : {}),
  };
}
