import type { SeriesPoint } from "./series.js";
import { computeCrossing, type ScatterEstimate, type TrendLine } from "./trend-line.js";

/**
 * A corner as one capacitor of a row dries and the others stay: f² = f_others² + f_own² (1/(2πRC);
 * corners in cascade add by their squares far above them, circuit theory). Its own corner stays where
 * it was until the drying begins.
 */
export interface DryingLaw {
  readonly course: Course;
  /** Of the sound corner, in squares, the part that is its own. */
  readonly share: number;
  /** Its own corner through the years on the scale of its course, each point by what it tells of it. */
  readonly line: TrendLine;
  /** The others' corner, squared. */
  readonly others: number;
  /** Rounds before it began. */
  readonly sound: number;
  /** Squares of what is left, on the logarithm of the sum. */
  readonly squares: number;
  /** Of what is left the largest. */
  readonly farthest: number;
}

/** How a corner of its own goes: what is a straight line in time. */
interface Course {
  readonly toLine: (logOwn: number) => number;
  readonly fromLine: (z: number) => number;
  /** Derivative of `toLine`. */
  readonly rate: (logOwn: number) => number;
}

const courses: readonly Course[] = [
  // A share of what is left is lost each year: the usual course of an electrolyte that dries.
  { toLine: (log) => log, fromLine: (z) => z, rate: () => 1 },
  // It flags: the corner itself goes up by the same each year.
  {
    toLine: Math.exp,
    fromLine: (z) => Math.log(Math.max(leastOwn, z)),
    rate: Math.exp,
  },
];
const leastOwn = 1e-3;

/** What a capacitor may have of its row's corner: one alone has all, one of four alike a quarter. */
const shares = [1, 0.75, 0.5, 0.35, 0.25] as const;
/** Its own corner is not known from less than this part of the sum. */
const leastPart = 0.02;
/** No electrolytic loses more of itself a year than this, nepers: two thirds (common practice, a guess). */
const fastest = Math.log(3);
/** Fewer rounds than this show no course. */
const leastPoints = 3;

/**
 * Fits the law to a stretch: for each share that the capacitor may have of the corner, each course,
 * and each round in which the drying may have begun.
 *
 * @param points logarithms of corners, of one epoch
 * @param soundY logarithm of the corner before anything dried, as siblings have it
 * @returns those that a part can follow; none for fewer than three points
 */
export function fitDrying(points: readonly SeriesPoint[], soundY: number): readonly DryingLaw[] {
  if (points.length < leastPoints) return [];
  const sound = Math.exp(2 * Math.min(soundY, ...points.map(({ y }) => y)));
  const begins = Array.from({ length: points.length - leastPoints + 1 }, (_, k) => k);
  return begins.flatMap((begin) =>
    shares.flatMap((share) =>
      courses.flatMap((course) => {
        const others = (1 - share) * sound;
        const law = fitLaw(points, begin, others, course);
        return law ? [{ course, share, others, sound: begin, ...law }] : [];
      }),
    ),
  );
}

function fitLaw(points: readonly SeriesPoint[], begin: number, others: number, course: Course) {
  const rows = points.slice(begin).map(({ years, y }) => {
    const sum = Math.exp(2 * y);
    const own = Math.max(leastPart * sum, sum - others);
    const log = Math.log(own) / 2;
    // dy = (own/sum)·d ln f_own: what the sum tells of it.
    const weight = (own / sum / course.rate(log)) ** 2;
    return { years, y, z: course.toLine(log), weight };
  });
  const total = rows.reduce((all, { weight }) => all + weight, 0);
  const mean = (of: (row: (typeof rows)[number]) => number) =>
    rows.reduce((all, row) => all + row.weight * of(row), 0) / total;
  const [years, z] = [mean((row) => row.years), mean((row) => row.z)];
  const spread = rows.reduce((all, row) => all + row.weight * (row.years - years) ** 2, 0);
  if (!(spread > 0)) return undefined;
  const slope =
    rows.reduce((all, row) => all + row.weight * (row.years - years) * (row.z - z), 0) / spread;
  const last = rows[rows.length - 1];
  const logOwn = course.fromLine(z + slope * (last.years - years));
  if (Math.abs(slope / course.rate(logOwn)) > fastest) return undefined;
  const drying = rows.map(
    (row) =>
      row.y - Math.log(others + Math.exp(2 * course.fromLine(z + slope * (row.years - years)))) / 2,
  );
  const rests = [...restsOfSound(points.slice(0, begin + 1)), ...drying];
  const squares = rests.reduce((all, rest) => all + rest * rest, 0);
  const line = {
    slope,
    squares,
    freedom: Math.max(1, points.length - 2 - Math.min(1, begin)),
    spread,
    points: points.length,
    lastYears: years,
    lastY: z,
    lastCount: total,
  };
  return { line, squares, farthest: Math.max(...rests.map(Math.abs)) };
}

/** About their mean, the round in which it began among them. */
function restsOfSound(points: readonly SeriesPoint[]): readonly number[] {
  if (points.length < 2) return [];
  const mean = points.reduce((all, { y }) => all + y, 0) / points.length;
  return points.map(({ y }) => y - mean);
}

/** How likely each law is among those that were fitted; one that began later has a figure more. */
export function weighLaws(laws: readonly DryingLaw[], deviation: number): readonly number[] {
  const least = Math.min(...laws.map(({ squares }) => squares));
  const [{ line }] = laws;
  const variance = Math.max(deviation ** 2, least / line.freedom, leastDeviation ** 2);
  const likely = laws.map(({ squares, sound }) =>
    Math.exp((least - squares) / (2 * variance) - (sound > 0 ? costOfBeginning : 0)),
  );
  const total = likely.reduce((all, one) => all + one, 0);
  return likely.map((one) => one / total);
}

/** Nats. */
const costOfBeginning = 1;
/** Corners of one path scatter by this much at least from take to take, nepers. */
const leastDeviation = 0.003;
/** No part keeps its pace for years to better than this (common practice, a guess). */
const pace = 0.3;
/** A law less likely than this leaves no doubt behind. */
const leastLikely = 0.05;

/** Value of the sum's logarithm, and how fast it goes, years after the last round. */
export function computeDryingHeight({ line, others, course }: DryingLaw, years: number) {
  const logOwn = course.fromLine(line.lastY + line.slope * (years - line.lastYears));
  const own = Math.exp(2 * logOwn);
  const part = own / (others + own) / course.rate(logOwn);
  return { y: Math.log(others + own) / 2, slope: line.slope * part, part };
}

/**
 * When the sum comes to a height: the likeliest time over all laws, and an interval (95 %) that holds
 * those of every law that may be true.
 */
export function computeDryingCrossing(
  laws: readonly DryingLaw[],
  weights: readonly number[],
  scatter: ScatterEstimate,
  height: number,
): ReturnType<typeof computeCrossing> {
  const likely = Math.max(...weights);
  const found = laws.flatMap((law, k) => {
    if (weights[k] < leastLikely * likely) return [];
    const own = Math.exp(2 * height) - law.others;
    const crossing =
      own > 0
        ? computeCrossing(law.line, scatter, law.course.toLine(Math.log(own) / 2))
        : undefined;
    return [{ crossing, weight: weights[k] }];
  });
  const certain = found.flatMap(({ crossing, weight }) =>
    crossing ? [{ ...crossing, weight }] : [],
  );
  // Where one of them has no end, neither has the interval.
  if (certain.length === 0 || certain.length < found.length) return undefined;
  const total = certain.reduce((all, { weight }) => all + weight, 0);
  const years = certain.reduce((all, { years, weight }) => all + weight * years, 0) / total;
  return {
    years,
    from: Math.min(years / (1 + pace), ...certain.map(({ from }) => from)),
    until: Math.max(years / (1 - pace), ...certain.map(({ until }) => until)),
  };
}
