import { createOwnBuffer } from "./buffer-pool.js";
import { solveCholesky } from "./cholesky.js";
import { dbPerPowerShare } from "./decibels.js";

/**
 * The roll-off of a response fitted with filters of first, second and third order, and with rows of
 * capacitors.
 *
 * The power loss of every high-pass without zeros in its band is a polynomial,
 * |H|⁻² = 1 + p₁·u + p₂·u² + p₃·u³ with u = 1/f² (u = f² for a low-pass), of the filter's order as
 * degree. One capacitor is 1 + a·u, n alike in a row are (1 + a·u)ⁿ, a Butterworth filter of order n
 * is 1 + (a·u)ⁿ (S. Butterworth, "On the theory of filter amplifiers", Wireless Engineer 7, 1930),
 * and free coefficients cover all others, among them two capacitors of different corners and any Q.
 * The data decide which it is: each is weighted by Akaike's criterion, and if several fit equally
 * well the result is between them, with the uncertainty to match (K. P. Burnham, D. R. Anderson,
 * "Model Selection and Multimodel Inference", Springer 2002, sect. 2.9 and 4.3).
 */

/** A point of a response. */
export interface RollOffPoint {
  /** Increases into the roll-off: 1/f² for a low end, f² for a high one, in any unit. */
  readonly u: number;
  /** Decibels. */
  readonly db: number;
  /** Standard deviation of `db`. */
  readonly stdDev: number;
}

/** A figure with its standard uncertainty. */
export interface Estimate {
  readonly value: number;
  readonly stdDev: number;
}

export interface RollOffFit {
  /** ln u at which the response has fallen to the level asked for. */
  readonly corner: Estimate;
  /**
   * The order n of the Butterworth filter through the fitted roll-off's own −3 dB and −10 dB points:
   * 1 for one capacitor, 2 and 3 for a filter of that order, 1.33 for two alike in a row.
   */
  readonly order: Estimate;
  /** R.m.s. of the best model's residuals, decibels. */
  readonly restDb: number;
  /** How far the best model falls within the points, decibels. */
  readonly fallDb: number;
  /**
   * Mean square of the best model's residuals relative to the points' deviations: about 1 if the response
   * has one of these shapes.
   */
  readonly excess: number;
  /** The value that noise alone exceeds once in a thousand times. */
  readonly mostExcess: number;
  /** How likely the roll-off is steeper than the third order, 0 to 1. */
  readonly steepShare: number;
}

/** A shape that is only shifted along the axis, by ln s. */
interface FixedShape {
  /** Coefficients of (s·u)ᵏ, k = 1, 2, … */
  readonly coefficients: readonly number[];
  /** Each number of poles, and filters made on purpose, are as likely as the others beforehand. */
  readonly prior: number;
  /** Steeper than any roll-off of an analogue path. */
  readonly isSteep?: true;
}

/** Capacitors in a row; corners of all but the first, relative to the first. */
function poles(others: readonly number[], prior: number): FixedShape {
  // |H|⁻² = (1 + u)·Π(1 + r²u)
  let all = [1, 1];
  for (const ratio of others) {
    all = Array.from(
      { length: all.length + 1 },
      (_, k) => (all[k] ?? 0) + ratio ** 2 * (all[k - 1] ?? 0),
    );
  }
  return { coefficients: [...all.slice(1), 0, 0].slice(0, Math.max(3, all.length - 1)), prior };
}

/** A second-order filter of quality Q. */
function quality(q: number, prior: number): FixedShape {
  return { coefficients: [1 / q ** 2 - 2, 1, 0], prior };
}

/** A Butterworth filter of high order: what digital filters before a converter are like. */
function steep(order: number, prior: number): FixedShape {
  return {
    coefficients: Array.from({ length: order }, (_, k) => (k === order - 1 ? 1 : 0)),
    prior,
    isSteep: true,
  };
}

/**
 * As many capacitors as a path has stages, of corners spread more or less. Where the roll-off has hardly
 * begun within the points, each looks like some pair, and falls more steeply farther on. Four and six are
 * taken to be a third as likely beforehand as one, two or three.
 */
const rowsOfFour = [
  [0.3, 0.3, 0.3],
  [0.5, 0.4, 0.3],
  [0.7, 0.5, 0.4],
  [1, 0.6, 0.4],
  [1, 1, 1],
] as const;
const rowsOfSix = [
  [0.4, 0.4, 0.4, 0.4, 0.4],
  [0.8, 0.6, 0.5, 0.4, 0.3],
  [1, 1, 1, 1, 1],
] as const;

const fixedShapes: readonly FixedShape[] = [
  poles([], 1),
  ...[0.3, 0.5, 0.7, 1].map((second) => poles([second], 1 / 4)),
  ...[0.5, 1].map((third) => poles([1, third], 1 / 3)),
  poles([0.5, 0.5], 1 / 3),
  ...rowsOfFour.map((others) => poles(others, 1 / 3 / rowsOfFour.length)),
  ...rowsOfSix.map((others) => poles(others, 1 / 3 / rowsOfSix.length)),
  ...[0.6, Math.SQRT1_2, 0.85, 1].map((q) => quality(q, 1 / 4)),
  { coefficients: [0, 0, 1], prior: 1 },
  ...[4, 6, 9, 14].map((order) => steep(order, 1 / 8)),
];
/** Numbers of free coefficients. */
const freeShapes = [2, 3] as const;
/**
 * If the corner is beyond the points, free coefficients run wild there: they must beat all fixed shapes
 * by this much of the criterion.
 */
const leastGain = 4;
const fewest = 8;

interface Model {
  readonly level: number;
  /** p₁, p₂, p₃ for u in units of its largest value. */
  readonly coefficients: readonly number[];
  readonly parameters: number;
  readonly prior: number;
  readonly isSteep: boolean;
  /** Σ (residual/deviation)². */
  readonly misfit: number;
  /** Covariance of level and parameters, row by row, before scaling by the misfit. */
  readonly covariance: Float64Array;
  /** Coefficients for other parameters, to carry the covariance on. */
  readonly at: (parameters: readonly number[]) => readonly number[];
  readonly values: readonly number[];
}

/**
 * Fits a roll-off.
 *
 * The uncertainty is that of each model's fit, enlarged where it leaves more than the points'
 * deviations allow (Birge's ratio) and where neighbours err alike, and the spread between models.
 *
 * @param points at least eight, from the flat part into the roll-off
 * @param targetDb level of the corner that is looked for
 * @returns undefined if no model reaches that level or there are too few points
 * @example
 * const hertz = Array.from({ length: 40 }, (_, k) => 10 * 1.15 ** k);
 * const points = hertz.map((hz) => {
 *   const u = 1 / hz ** 2;
 *   return { u, db: -powerToDb(1 + u * 30 ** 2), stdDev: 0.01 };
 * });
 * Math.exp(-fitRollOff(points, -3.0103).corner.value / 2).toFixed(1); // "30.0"
 */
export function fitRollOff(
  points: readonly RollOffPoint[],
  targetDb: number,
): RollOffFit | undefined {
  if (points.length < fewest) return undefined;
  const most = points.reduce((u, p) => Math.max(u, p.u), 0);
  const scaled = points.map(({ u, db, stdDev }) => ({
    u: u / most,
    db,
    stdDev,
    weight: 1 / stdDev ** 2,
  }));
  const models = fixedShapes.flatMap((shape) => fitFixed(scaled, shape) ?? []);
  const gentle = models.filter((model) => !isSteep(model));
  if (gentle.length === 0) return undefined;
  const simplest = gentle.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  for (const free of freeShapes) models.push(...fitFree(scaled, free, simplest));
  const best = models.reduce((a, b) => (b.misfit < a.misfit ? b : a));
  const excess = Math.max(1, best.misfit / Math.max(1, points.length - best.parameters));
  const simplestCorner = derived(simplest.level, simplest.coefficients, targetDb)?.corner ?? 0;
  const hurdle = simplestCorner > 0 ? leastGain : 0;
  const weighed = weigh(models, points.length, excess, hurdle);
  const spread = excess * correlationFactor(scaled, weighed[0].model);
  const figures = weighed.flatMap(({ model, weight }) => {
    const found = figuresOf(model, targetDb, spread);
    return found ? [{ ...found, weight }] : [];
  });
  if (figures.length === 0) return undefined;
  const corner = average(figures.map((f) => ({ ...f.corner, weight: f.weight })));
  const order = average(figures.map((f) => ({ ...f.order, weight: f.weight })));
  const winner = weighed[0].model;
  const freedom = Math.max(1, points.length - winner.parameters);
  return {
    corner: { ...corner, value: corner.value + Math.log(most) },
    order,
    restDb: restOf(scaled, winner),
    fallDb: dbPerPowerShare * Math.log(polynomial(winner.coefficients, 1)),
    excess: winner.misfit / freedom,
    mostExcess: highestMeanSquare(freedom),
    steepShare: weighed.reduce((sum, { model, weight }) => sum + (isSteep(model) ? weight : 0), 0),
  };
}

function polynomial(p: readonly number[], u: number): number {
  if (p.length === 3) return 1 + u * (p[0] + u * (p[1] + u * p[2]));
  let sum = 0;
  for (let k = p.length - 1; k >= 0; k--) sum = u * (sum + p[k]);
  return 1 + sum;
}

/**
 * A mean square of this many normal deviates is below this 999 times in a thousand (E. B. Wilson,
 * M. M. Hilferty, Proc. Natl. Acad. Sci. 17, 1931).
 */
function highestMeanSquare(freedom: number): number {
  const part = 2 / (9 * freedom);
  return (1 - part + 3.09 * Math.sqrt(part)) ** 3;
}

const isSteep = (model: Model) => model.isSteep;

/** Akaike's criterion for small samples, models in falling weight. */
function weigh(models: readonly Model[], count: number, excess: number, hurdle: number) {
  const scored = models.map((model) => {
    const k = model.parameters;
    return { model, score: model.misfit / excess + 2 * k + (2 * k * (k + 1)) / (count - k - 1) };
  });
  const kept = scored.filter(({ model, score }) =>
    scored.every(
      (o) => hurdle === 0 || o.model.parameters >= model.parameters || score < o.score - hurdle,
    ),
  );
  kept.sort((a, b) => a.score - b.score);
  const weights = kept.map(
    ({ model, score }) => model.prior * Math.exp((kept[0].score - score) / 2),
  );
  const total = weights.reduce((sum, w) => sum + w, 0);
  return kept.map(({ model }, i) => ({ model, weight: weights[i] / total }));
}

function average(figures: readonly (Estimate & { weight: number })[]): Estimate {
  const total = figures.reduce((sum, f) => sum + f.weight, 0);
  const value = figures.reduce((sum, f) => sum + f.weight * f.value, 0) / total;
  const variance =
    figures.reduce((sum, f) => sum + f.weight * (f.stdDev ** 2 + (f.value - value) ** 2), 0) /
    total;
  return { value, stdDev: Math.sqrt(variance) };
}

/** How much neighbouring residuals that err alike widen a mean: (1 + ρ)/(1 − ρ). */
function correlationFactor(points: readonly RollOffPoint[], model: Model): number {
  let squares = 0;
  let neighbours = 0;
  let last = 0;
  points.forEach((p) => {
    const rest = residual(p, model) / p.stdDev;
    squares += rest * rest;
    neighbours += rest * last;
    last = rest;
  });
  const rho = Math.min(0.9, Math.max(0, squares > 0 ? neighbours / squares : 0));
  return (1 + rho) / (1 - rho);
}

function residual(point: RollOffPoint, { level, coefficients }: Model): number {
  return point.db - (level - dbPerPowerShare * Math.log(polynomial(coefficients, point.u)));
}

function restOf(points: readonly RollOffPoint[], model: Model): number {
  const sum = points.reduce((s, p) => s + residual(p, model) ** 2, 0);
  return Math.sqrt(sum / points.length);
}

/** u at which the polynomial reaches a value above 1, its smallest such; undefined if none. */
function whereReached(p: readonly number[], value: number): number | undefined {
  let low = 0;
  let high = 1e-9;
  while (polynomial(p, high) < value) {
    low = high;
    high *= 1.3;
    if (high > 1e12) return undefined;
  }
  for (let pass = 0; pass < 60; pass++) {
    const middle = (low + high) / 2;
    if (polynomial(p, middle) < value) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

const tenDb = 10;
const halfPower = 2;

function derived(level: number, coefficients: readonly number[], targetDb: number) {
  const target = 10 ** ((level - targetDb) / 10);
  if (!(target > 1)) return undefined;
  const corner = whereReached(coefficients, target);
  const half = whereReached(coefficients, halfPower);
  const tenth = whereReached(coefficients, tenDb);
  if (corner === undefined || half === undefined || tenth === undefined) return undefined;
  // Butterworth: (u₁₀/u₃)ⁿ = (10 − 1)/(2 − 1)
  return {
    corner: Math.log(corner),
    order: Math.log(tenDb - 1) / Math.log(tenth / half),
    tenth: Math.log(tenth),
  };
}

/**
 * Filters between the fixed shapes: what their corner and order may be off, one standard deviation,
 * the more the further beyond the points (per neper of u) they lie.
 */
const beyondCorner = 0.01;
const shapeOrder = 0.005;
const beyondOrder = 0.01;

/** Corner and order of a model, with the covariance carried on by small steps. */
function figuresOf(model: Model, targetDb: number, spread: number) {
  const { level, values, covariance, at } = model;
  const here = derived(level, model.coefficients, targetDb);
  if (!here) return undefined;
  const size = values.length + 1;
  const slopes = Array.from({ length: size }, (_, k) => {
    const stdDev = Math.sqrt(spread * covariance[k * size + k]);
    const step = Math.max(1e-9, 0.1 * stdDev);
    const moved = values.map((v, j) => (j === k - 1 ? v + step : v));
    const there = derived(level + (k === 0 ? step : 0), at(moved), targetDb);
    if (!there) return undefined;
    return {
      corner: (there.corner - here.corner) / step,
      order: (there.order - here.order) / step,
    };
  });
  let corner = 0;
  let order = 0;
  for (let p = 0; p < size; p++) {
    for (let q = 0; q < size; q++) {
      const a = slopes[p];
      const b = slopes[q];
      if (!a || !b) return undefined;
      corner += a.corner * b.corner * covariance[p * size + q];
      order += a.order * b.order * covariance[p * size + q];
    }
  }
  const cornerBeyond = beyondCorner * Math.max(0, here.corner);
  const orderBeyond = shapeOrder + beyondOrder * Math.max(0, here.tenth);
  return {
    corner: {
      value: here.corner,
      stdDev: Math.hypot(Math.sqrt(Math.max(0, spread * corner)), cornerBeyond),
    },
    order: {
      value: here.order,
      stdDev: Math.hypot(Math.sqrt(Math.max(0, spread * order)), orderBeyond),
    },
  };
}

/** Grid of ln s on which a fixed shape is first tried: from a trace of a roll-off to a steep one. */
const lowestLogScale = Math.log(1e-5);
const highestLogScale = Math.log(1e5);
const logSteps = 24;

function fixedAt(fixed: readonly number[]) {
  return ([logScale]: readonly number[]) => {
    const s = Math.exp(logScale);
    let power = 1;
    return fixed.map((c) => {
      power *= s;
      return c * power;
    });
  };
}

function fitFixed(points: readonly WeighedPoint[], shape: FixedShape): Model | undefined {
  const at = fixedAt(shape.coefficients);
  let best = lowestLogScale;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k <= logSteps; k++) {
    const logScale = lowestLogScale + ((highestLogScale - lowestLogScale) * k) / logSteps;
    const { misfit } = levelled(points, at([logScale]));
    if (misfit < least) {
      least = misfit;
      best = logScale;
    }
  }
  return refine(points, [best], at, shape);
}

function fitFree(points: readonly WeighedPoint[], free: 2 | 3, start: Model): Model[] {
  const at = (values: readonly number[]) => [values[0], values[1], values[2] ?? 0];
  const model = refine(points, start.coefficients.slice(0, free), at, { prior: 1 });
  // A polynomial that falls again is not a filter.
  const isFilter = model?.coefficients[free - 1] !== undefined && model.coefficients[free - 1] > 0;
  return model && isFilter ? [model] : [];
}

/** A point with what every fit needs of it. */
interface WeighedPoint extends RollOffPoint {
  /** Of its square in a fit. */
  readonly weight: number;
}

/** For the logarithm at each point, of one call. */
const roomForLogs = createOwnBuffer();

/** The level that fits best under given coefficients, and the misfit. */
function levelled(points: readonly WeighedPoint[], coefficients: readonly number[]) {
  const logs = roomForLogs(points.length);
  let weights = 0;
  let sum = 0;
  for (let i = 0; i < points.length; i++) {
    const { u, db, weight } = points[i];
    const power = polynomial(coefficients, u);
    if (!(power > 0)) return { level: 0, misfit: Number.POSITIVE_INFINITY };
    logs[i] = dbPerPowerShare * Math.log(power);
    weights += weight;
    sum += weight * (db + logs[i]);
  }
  const level = sum / weights;
  let misfit = 0;
  for (let i = 0; i < points.length; i++) {
    const { db, stdDev } = points[i];
    const rest = db - level + logs[i];
    misfit += (rest / stdDev) ** 2;
  }
  return { level, misfit };
}

const mostPasses = 40;

/** Levenberg–Marquardt on the parameters, the level solved along. */
function refine(
  points: readonly WeighedPoint[],
  start: readonly number[],
  at: (values: readonly number[]) => readonly number[],
  { prior, isSteep = false }: { readonly prior: number; readonly isSteep?: boolean },
): Model | undefined {
  const size = start.length + 1;
  let values = [...start];
  let here = levelled(points, at(values));
  if (!Number.isFinite(here.misfit)) return undefined;
  let damping = 1e-3;
  let normal = normalEquations(points, here.level, values, at);
  for (let pass = 0; pass < mostPasses; pass++) {
    const gram = Float64Array.from(normal.gram);
    const step = Float64Array.from(normal.right);
    for (let k = 0; k < size; k++) gram[k * size + k] *= 1 + damping;
    if (!solved(gram, step)) return undefined;
    const next = values.map((v, k) => v + step[k + 1]);
    const there = levelled(points, at(next));
    if (there.misfit < here.misfit) {
      const gain = here.misfit - there.misfit;
      values = next;
      here = there;
      normal = normalEquations(points, here.level, values, at);
      damping /= 10;
      if (gain < 1e-9 * (1 + here.misfit)) break;
    } else {
      damping *= 10;
      if (damping > 1e9) break;
    }
  }
  const covariance = inverse(normal.gram, size);
  if (!covariance) return undefined;
  return {
    level: here.level,
    coefficients: at(values),
    parameters: size,
    prior,
    isSteep,
    misfit: here.misfit,
    covariance,
    at,
    values,
  };
}

function normalEquations(
  points: readonly RollOffPoint[],
  level: number,
  values: readonly number[],
  at: (values: readonly number[]) => readonly number[],
) {
  const size = values.length + 1;
  const coefficients = at(values);
  const slopes = values.map((v, k) => {
    const step = 1e-6 * (1 + Math.abs(v));
    const moved = at(values.map((w, j) => (j === k ? w + step : w)));
    return moved.map((c, j) => (c - coefficients[j]) / step);
  });
  const gram = new Float64Array(size * size);
  const right = new Float64Array(size);
  const row = new Float64Array(size);
  for (const p of points) {
    const power = polynomial(coefficients, p.u);
    const rest = (p.db - level + dbPerPowerShare * Math.log(power)) / p.stdDev;
    row[0] = 1 / p.stdDev;
    for (let k = 0; k < slopes.length; k++) {
      const change = polynomial(slopes[k], p.u) - 1;
      row[k + 1] = (-dbPerPowerShare * change) / (power * p.stdDev);
    }
    for (let i = 0; i < size; i++) {
      right[i] += row[i] * rest;
      for (let j = 0; j < size; j++) gram[i * size + j] += row[i] * row[j];
    }
  }
  return { gram, right };
}

function solved(gram: Float64Array, right: Float64Array): boolean {
  try {
    solveCholesky(gram, right);
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}

function inverse(gram: Float64Array, size: number): Float64Array | undefined {
  const out = new Float64Array(size * size);
  for (let k = 0; k < size; k++) {
    const column = new Float64Array(size);
    column[k] = 1;
    if (!solved(Float64Array.from(gram), column)) return undefined;
    for (let i = 0; i < size; i++) out[i * size + k] = column[i];
  }
  return out;
}
