import { getStudent95 } from "../../dsp/student.js";
import type { SeriesPoint } from "./series.js";
import { computeCrossing, type ScatterEstimate, type TrendLine } from "./trend-line.js";

/**
 * A corner as one capacitor of a row dries and the others stay. The others go as one high-pass of
 * first order: the −3 dB point f of the two in cascade is where (1 + (f_own/f)²)(1 + (f_others/f)²) = 2
 * (f = 1/(2πRC) for each; circuit theory). Its own corner stays where it was until the drying begins.
 */
export interface DryingLaw {
  readonly course: Course;
  /** Its own part of the healthy corner, in squares. */
  readonly share: number;
  /** Any share is as likely as any other: the part of all shares that this one represents. */
  readonly weightOfShare: number;
  /**
   * Its own corner through the years on the scale of its course, each point weighted by what it
   * shows.
   */
  readonly line: TrendLine;
  /** The others' corner, squared. */
  readonly others: number;
  /** Rounds before it began. */
  readonly sound: number;
  /** Residual sum of squares, in the logarithm of the sum. */
  readonly squares: number;
  /** The largest residual. */
  readonly farthest: number;
}

/** How its own corner develops: on which scale it is a straight line in time. */
interface Course {
  /** NaN if the course never reaches it. */
  readonly toLine: (logOwn: number) => number;
  readonly fromLine: (z: number) => number;
  /** Derivative of `toLine`. */
  readonly rate: (logOwn: number) => number;
  /** Nats by which it is rarer than the usual course, the parameters that were tried included. */
  readonly cost: number;
  /** Tried only as one that was under way in the first round: its figures are enough. */
  readonly throughout?: true;
}

/** Logarithms of corners that no capacitor has, hertz: a thousandth, and that of one that is gone. */
const [logLeastOwn, logMostOwn] = [Math.log(1e-3), Math.log(1e4)];

/**
 * A power of its own corner is a straight line in time (the family of Box and Cox, 1964). Reciprocal
 * (−1): each year the same amount is lost, until nothing is left; logarithm (0): the same share, the
 * usual course of an electrolyte that dries; the corner itself (1): less and less.
 */
function createPower(power: number): Course {
  if (power === 0) return { toLine: (log) => log, fromLine: (z) => z, rate: () => 1, cost: 0 };
  const sign = Math.sign(power);
  const least = Math.exp((power > 0 ? logLeastOwn : -logMostOwn) * Math.abs(power));
  return {
    toLine: (log) => sign * Math.exp(power * log),
    fromLine: (z) => Math.log(Math.max(least, sign * z)) / power,
    rate: (log) => Math.abs(power) * Math.exp(power * log),
    cost: 0,
  };
}

const courses: readonly Course[] = [-1, -0.5, 0, 0.5, 1].map(createPower);

/**
 * What is left when drying stops, as a share of the healthy value: close
 * enough to each other that a course between two of them cannot be distinguished from either.
 */
const ends = [0.05, 0.09, 0.14, 0.2, 0.3] as const;
/** It is as likely to come to rest as not (a guess); each final value gets an equal part of that. */
const costOfResting = Math.log(ends.length);

/** It settles: each year the same share of what exceeds the final value is lost. */
function createSaturating(logSound: number, end: number): Course {
  // What is left, as a share, above the end.
  const above = (log: number) => Math.exp(logSound - log) - end;
  return {
    toLine: (log) => (above(log) > 0 ? -Math.log(above(log)) : Number.NaN),
    fromLine: (z) => logSound - Math.log(end + Math.exp(-z)),
    rate: (log) => Math.exp(logSound - log) / Math.max(leastAbove, above(log)),
    cost: costOfResting,
    throughout: true,
  };
}
const leastAbove = 1e-3;

/**
 * A capacitor's possible part of its row's corner, squared: one alone has all, one of four equal ones a
 * quarter, one whose own corner is a fifth of the highest some hundredths.
 */
const shares: readonly number[] = [1, 0.72, 0.53, 0.39, 0.28, 0.2, 0.14, 0.1, 0.07, 0.05, 0.035];
/** Up to half-way to its neighbours. */
const weightsOfShares = shares.map((share, k) => {
  const above = k === 0 ? 1 : (shares[k - 1] + share) / 2;
  const below = k === shares.length - 1 ? 0 : (share + shares[k + 1]) / 2;
  return above - below;
});
/** Its own corner is not known from less than this part of the sum. */
const leastPart = 0.02;
/**
 * No electrolytic loses more of its capacitance per year than this, nepers: two thirds (common
 * practice, a guess).
 */
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
  const rows = shares.map((share, k) => {
    // The two make the sound corner together: see `partCorners`, which is its own inverse.
    const others = partCorners(sound, share * sound);
    const logSound = Math.log(share * sound) / 2;
    return [...courses, ...ends.map((end) => createSaturating(logSound, end))].map((course) => ({
      share,
      weightOfShare: weightsOfShares[k],
      others,
      course,
      ...toRows(points, others, course),
    }));
  });
  return listBegins(points.length).flatMap((begin) =>
    rows.flatMap((ofShare) =>
      ofShare.flatMap(({ share, weightOfShare, others, course, z, weights }) => {
        if (course.throughout && begin > 0) return [];
        const law = fitLaw(points, z, weights, begin, others, course);
        return law ? [{ course, share, weightOfShare, others, sound: begin, ...law }] : [];
      }),
    ),
  );
}

/** At most this many rounds, evenly spread, are tried as the one in which it began. */
const mostBegins = 24;

function listBegins(count: number): readonly number[] {
  const all = count - leastPoints + 1;
  const step = Math.ceil(all / mostBegins);
  return Array.from({ length: Math.ceil(all / step) }, (_, k) => k * step);
}

/** Its own corner on the scale of its course, and how much each point shows of it. */
function toRows(points: readonly SeriesPoint[], others: number, course: Course) {
  const z = new Float64Array(points.length);
  const weights = new Float64Array(points.length);
  points.forEach(({ y }, i) => {
    const sum = Math.exp(2 * y);
    const own = Math.max(leastPart * sum, partCorners(sum, others));
    const log = Math.log(own) / 2;
    z[i] = course.toLine(log);
    weights[i] = (shareOfChange(own, others, joinCorners(own, others)) / course.rate(log)) ** 2;
  });
  return { z, weights };
}

/** The squared corner of a row, from the squares of its own and of the others'. */
function joinCorners(own: number, others: number): number {
  const sum = own + others;
  return (sum + Math.sqrt(sum * sum + 4 * own * others)) / 2;
}

/** The square of its own corner, from those of the row and of the others; negative where they exceed it. */
function partCorners(row: number, others: number): number {
  return (row * (row - others)) / (row + others);
}

/** By how much the logarithm of the row's corner goes with that of its own. */
function shareOfChange(own: number, others: number, row: number): number {
  return (own * (row + others)) / (row * (2 * row - own - others));
}

function fitLaw(
  points: readonly SeriesPoint[],
  z: Float64Array,
  weights: Float64Array,
  begin: number,
  others: number,
  course: Course,
) {
  let total = 0;
  let [meanYears, meanZ] = [0, 0];
  for (let i = begin; i < points.length; i++) {
    total += weights[i];
    meanYears += weights[i] * points[i].years;
    meanZ += weights[i] * z[i];
  }
  // Where it has gone further than the course ever does, it is not this one.
  if (!Number.isFinite(meanZ)) return undefined;
  meanYears /= total;
  meanZ /= total;
  let [spread, product] = [0, 0];
  for (let i = begin; i < points.length; i++) {
    const years = points[i].years - meanYears;
    spread += weights[i] * years * years;
    product += weights[i] * years * (z[i] - meanZ);
  }
  if (!(spread > 0)) return undefined;
  const slope = product / spread;
  const last = points[points.length - 1];
  const logOwn = course.fromLine(meanZ + slope * (last.years - meanYears));
  if (Math.abs(slope / course.rate(logOwn)) > fastest) return undefined;
  let [squares, farthest] = [0, 0];
  const add = (rest: number) => {
    squares += rest * rest;
    farthest = Math.max(farthest, Math.abs(rest));
  };
  // The sound rounds about their mean, the one in which it began among them.
  if (begin > 0) {
    let mean = 0;
    for (let i = 0; i <= begin; i++) mean += points[i].y;
    mean /= begin + 1;
    for (let i = 0; i <= begin; i++) add(points[i].y - mean);
  }
  for (let i = begin; i < points.length; i++) {
    const own = course.fromLine(meanZ + slope * (points[i].years - meanYears));
    add(points[i].y - Math.log(joinCorners(Math.exp(2 * own), others)) / 2);
  }
  const line = {
    slope,
    squares,
    freedom: Math.max(1, points.length - 2 - Math.min(1, begin)),
    spread,
    points: points.length,
    lastYears: meanYears,
    lastY: meanZ,
    lastCount: total,
  };
  return { line, squares, farthest };
}

/** How likely each law is among those that were fitted; one that began later has one more parameter. */
export function weighLaws(laws: readonly DryingLaw[], deviation: number): readonly number[] {
  const least = Math.min(...laws.map(({ squares }) => squares));
  const [{ line }] = laws;
  const variance = Math.max(deviation ** 2, least / line.freedom, leastDeviation ** 2);
  const likely = laws.map(
    ({ squares, sound, course, weightOfShare }) =>
      weightOfShare *
      Math.exp(
        (least - squares) / (2 * variance) - (sound > 0 ? costOfBeginning : 0) - course.cost,
      ),
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
/**
 * A law that is less likely than this against the likeliest does not count: the border of the region of
 * 95 % is half of χ² = 7.81 for three parameters, share, course and beginning.
 */
const leastLikely = 0.02;

/** Value of the sum's logarithm, and how fast it goes, years after the last round. */
export function computeDryingHeight({ line, others, course }: DryingLaw, years: number) {
  const logOwn = course.fromLine(line.lastY + line.slope * (years - line.lastYears));
  const own = Math.exp(2 * logOwn);
  const row = joinCorners(own, others);
  const part = shareOfChange(own, others, row) / course.rate(logOwn);
  return { y: Math.log(row) / 2, slope: line.slope * part, part };
}

/**
 * Two equal others, combined into one, bend the slope of a row by up to this share of it (the
 * slopes of both worked out for corners of 0.3 to 12 times the others').
 */
const rowShare = 0.04;

/**
 * How far the yearly change after the last round may be from a value (95 %): to the farthest end of those
 * of every law that may be true, each as far as the scatter lets its own height and slope be.
 *
 * @param slope of the sum's logarithm, a year
 */
export function computeDryingReach(
  laws: readonly DryingLaw[],
  weights: readonly number[],
  { deviation, freedom }: ScatterEstimate,
  slope: number,
): number {
  const likely = Math.max(...weights);
  const times = getStudent95(freedom);
  const reach = laws.reduce((most, law, k) => {
    if (weights[k] < leastLikely * likely) return most;
    const own = computeDryingHeight(law, 0).slope;
    return Math.max(most, Math.abs(own - slope) + times * deviation * computeSlopeGain(law));
  }, 0);
  return reach + rowShare * Math.abs(slope);
}

/** How far one deviation of the points moves the sum's yearly change, by height and slope together. */
function computeSlopeGain(law: DryingLaw): number {
  const { line } = law;
  const moved = (change: Partial<TrendLine>) =>
    computeDryingHeight({ ...law, line: { ...line, ...change } }, 0).slope;
  const now = moved({});
  // Steps of one deviation of either figure, the points' own being small beside them.
  const height = small / Math.sqrt(line.lastCount);
  const slope = small / Math.sqrt(line.spread);
  const byHeight = moved({ lastY: line.lastY + height }) - now;
  const bySlope = moved({ slope: line.slope + slope }) - now;
  return Math.hypot(byHeight, bySlope) / small;
}

/** Small beside what corners scatter by, nepers. */
const small = 1e-4;

/**
 * When the sum reaches a height: the likeliest time over all laws, and an interval (95 %) that holds
 * those of every law that may be true.
 */
export function computeDryingCrossing(
  laws: readonly DryingLaw[],
  weights: readonly number[],
  scatter: ScatterEstimate,
  height: number,
): DatedCrossing | undefined {
  const likely = Math.max(...weights);
  const found = laws.flatMap((law, k) => {
    if (weights[k] < leastLikely * likely) return [];
    const own = partCorners(Math.exp(2 * height), law.others);
    const z = own > 0 ? law.course.toLine(Math.log(own) / 2) : Number.NaN;
    const crossing = Number.isFinite(z) ? computeCrossing(law.line, scatter, z) : undefined;
    return [{ crossing, weight: weights[k] }];
  });
  const certain = found.flatMap(({ crossing, weight }) =>
    crossing ? [{ ...addPace(crossing), weight }] : [],
  );
  const all = found.reduce((sum, { weight }) => sum + weight, 0);
  const total = certain.reduce((sum, { weight }) => sum + weight, 0);
  if (!(total > leastComing * all)) return undefined;
  const years = middleOf(certain, total);
  const last = Math.max(...certain.map(({ until }) => until));
  const dated = { years, from: Math.min(...certain.map(({ from }) => from)), until: last };
  return all - total > openShare * all ? leaveOpen(dated) : dated;
}

/** The time that splits the weight in half. */
function middleOf(
  found: readonly { readonly years: number; readonly weight: number }[],
  total: number,
) {
  let before = 0;
  for (const { years, weight } of [...found].sort((a, b) => a.years - b.years)) {
    before += weight;
    if (before >= total / 2) return years;
  }
  return Number.NaN;
}

/** When a limit is reached, years after the last round. */
export interface DatedCrossing extends NonNullable<ReturnType<typeof computeCrossing>> {
  /** It may never come: `until` is later than anybody plans for. */
  readonly open?: true;
}

/** The doubts of the pace and of the course together; the two are independent. */
export function addPace({ years, from, until }: DatedCrossing): DatedCrossing {
  const ahead = Math.max(0, years);
  return {
    years,
    from: years - Math.hypot(years - from, ahead - ahead / (1 + pace)),
    until: years + Math.hypot(until - years, ahead / (1 - pace) - ahead),
  };
}

/** Leaves open whether the limit is ever reached, for a part with too few rounds of its own for a course. */
export function leaveOpen({ years, from, until }: DatedCrossing): DatedCrossing {
  return { years, from, until: Math.max(until, openYears), open: true };
}

/** A limit that three of four courses never reach has no date; one that one in four reaches is worth a warning. */
const leastComing = 0.25;
/** Courses that never reach the limit leave the interval open if they outweigh its upper tail. */
const openShare = 0.025;
/** An open end, years: later than anybody plans for. */
const openYears = 30;
