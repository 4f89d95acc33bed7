import { median, normalFromStudent, qn, qnEfficiency } from "../dsp/robust.js";

/** Location and scatter of values. */
export interface Scatter {
  readonly count: number;
  readonly median: number;
  /** Robust standard deviation; 0 for identical values. */
  readonly scale: number;
  /** Degrees of freedom of `scale`; those of Qn when absent. */
  readonly freedom?: number;
}

/**
 * Location and scale of siblings, robust to nearly half of them being faulty: median and Qn.
 *
 * @throws RangeError for no values
 * @example
 * computeScatter([1, 2, 3, 4, 500]).median; // 3
 */
export function computeScatter(values: readonly number[]): Scatter {
  return {
    count: values.length,
    median: median(values),
    scale: values.length > 1 ? qn(values) : 0,
  };
}

/** Deviation of one value from its siblings. */
export interface DeviationScore {
  /** value − median. */
  readonly deviation: number;
  /** Standard deviation that the deviation was compared with. */
  readonly spread: number;
  /** Deviation in standard deviations, floored; the sign is the deviation's. */
  readonly score: number;
  /** The same tail probability as a standard normal value: small families count for less. */
  readonly significance: number;
}

/**
 * Scores a value against its siblings' scatter.
 *
 * The standard deviation combines that of the siblings, of the value's own measurement and of a
 * scatter assumed for any healthy family in quadrature (JCGM 100, 5.1.2). Only the siblings' share
 * is an estimate with few degrees of freedom; the whole gets its effective degrees of freedom by
 * the Welch–Satterthwaite formula (JCGM 100, G.4.1), and Wallace's formula turns the Student value
 * into a normal one.
 *
 * @param value the value to judge
 * @param scatter of its family
 * @param uncertainty expanded uncertainty (95 %) of the value
 * @param granted standard deviation that counts as healthy, however similar the siblings are
 * @example
 * const siblings = computeScatter([0, 0.1, -0.1, 0.05, -0.05]);
 * scoreDeviation(3, siblings, 0.01, 0.1).score > 5; // true
 */
export function scoreDeviation(
  value: number,
  scatter: Scatter,
  uncertainty: number,
  granted: number,
): DeviationScore {
  const deviation = value - scatter.median;
  const spread = Math.hypot(scatter.scale, uncertainty / 2, granted);
  const score = spread === 0 ? 0 : deviation / spread;
  return {
    deviation,
    spread,
    score,
    significance: computeSignificance(deviation, spread, scatter),
  };
}

/**
 * The significance of {@link scoreDeviation} alone, for loops over many points.
 *
 * @param spread standard deviation that the deviation is compared with; the scatter's scale is part
 *   of it
 * @example
 * // Of so many siblings the scatter is as good as known.
 * computeSignificance(3, 1, { count: 1e7, median: 0, scale: 1 }); // 3
 */
export function computeSignificance(deviation: number, spread: number, scatter: Scatter): number {
  if (spread === 0) return 0;
  const own = scatter.freedom ?? qnFreedom(scatter.count);
  const freedom = scatter.scale === 0 ? Infinity : (own * spread ** 4) / scatter.scale ** 4;
  return normalFromStudent(deviation / spread, freedom);
}

function qnFreedom(count: number): number {
  return qnEfficiency * Math.max(1, count - 1);
}

/** Degrees of freedom of the prior for a healthy family's scatter. */
const priorFreedom = 5;
/** Prior standard deviation of a healthy family, in assumed ones (common practice, no source). */
export const priorInAssumed = 2;
/** A practical floor is this many granted standard deviations. */
export const minInDeviations = 4;
/**
 * With a variance this many times the prior's, the prior does not apply to the family; with few
 * siblings, chance alone makes larger ones.
 */
const contradicts = (count: number) => 3 * (1 + 8 / Math.max(1, count - 1) ** 2);
/** In families of this size or smaller the prior may also reduce a scatter. */
const mostLeaning = 5;
/** Largest standard deviation of a healthy family, in assumed ones (common practice, no source). */
const mostInGranted = 10;
/** Degrees of freedom of that limit. */
const mostFreedom = 8;

/**
 * {@link scoreDeviation} for a value among siblings: the scatter of a healthy family is partly
 * known beforehand, which matters for small families, so its variance is moderated by a prior and
 * gains the prior's degrees of freedom (G. K. Smyth, "Linear models and empirical Bayes methods",
 * Stat. Appl. Genet. Mol. Biol. 3(1), 2004; the prior itself is common practice). A family that
 * clearly scatters more uses its own scatter, and except in the smallest families the prior never
 * reduces a scatter. A value far out even for the widest scatter of a healthy family stands out,
 * however few siblings there are. With a single sibling the scatter is that of the prior.
 *
 * @param excess ratio of the family's scatter in all readings together to the prior's
 *
 * @param usual prior standard deviation of a healthy family, if not the usual multiple of the
 * assumed one
 * @example
 * const few = computeScatter([0, 0.01, -0.01]);
 * // Three that happen to lie close are granted what any healthy family scatters.
 * scoreSiblingDeviation(1, few, 0.01, 0.175).significance < scoreDeviation(1, few, 0.01, 0.01).significance; // true
 * scoreSiblingDeviation(1, few, 0.01, 0.175).deviation; // 1
 */
export function scoreSiblingDeviation(
  value: number,
  scatter: Scatter,
  uncertainty: number,
  granted: number,
  excess = 1,
  usual = priorInAssumed * granted,
): DeviationScore {
  const assumed = usual * excess;
  if (scatter.count === 1) return besideOne(value, scatter, uncertainty, granted, assumed);
  const prior = assumed ** 2;
  const variance = scatter.scale ** 2;
  const widest = excess * mostInGranted * granted;
  const wide = scoreDeviation(
    value,
    { ...scatter, scale: Math.max(widest, scatter.scale), freedom: mostFreedom },
    uncertainty,
    granted,
  );
  const own = qnFreedom(scatter.count);
  const freedom = own + priorFreedom;
  const pooled = (priorFreedom * prior + own * variance) / freedom;
  const moderated =
    scatter.count <= mostLeaning ? pooled : Math.max(variance, (pooled * priorFreedom) / freedom);
  const near =
    variance > contradicts(scatter.count) * prior
      ? scoreDeviation(value, scatter, uncertainty, granted)
      : scoreDeviation(
          value,
          { ...scatter, scale: Math.sqrt(moderated), freedom },
          uncertainty,
          granted,
        );
  return Math.abs(wide.significance) > Math.abs(near.significance)
    ? { ...near, significance: wide.significance }
    : near;
}

/** The difference of two, each with only the prior scatter. */
function besideOne(
  value: number,
  scatter: Scatter,
  uncertainty: number,
  granted: number,
  assumed: number,
): DeviationScore {
  const scale = Math.SQRT2 * assumed;
  return scoreDeviation(value, { ...scatter, scale, freedom: priorFreedom }, uncertainty, granted);
}
