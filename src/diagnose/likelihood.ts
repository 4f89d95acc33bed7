import { type ReadingId, readingKinds } from "../measure/reading-kinds.js";
import type { DeviationRange, Prediction } from "./cause-kind.js";
import type { Evidence } from "./evidence.js";
import { bandFromHz, clearScore, type Feature, type PathEvidence } from "./path-evidence.js";
import type { ResponseDeviation } from "./response-deviation.js";

/**
 * Readings by which causes are judged: one of each group, since two that measure nearly the same
 * would count twice. If a profile lacks one, the next of its group is used.
 */
const groups: readonly (readonly ReadingId[])[] = groupEvidence();

function groupEvidence() {
  const byGroup = new Map<string, ReadingId[]>();
  readingKinds
    .flatMap(({ id, evidence }) => (evidence === undefined ? [] : [{ id, ...evidence }]))
    .sort((a, b) => a.order - b.order)
    .forEach(({ id, group }) => {
      byGroup.set(group, [...(byGroup.get(group) ?? []), id]);
    });
  return [...byGroup.values()];
}

/** The response counts as this many independent readings, however finely it is read. */
export const curveWeight = 8;
/** Every so many points of the 1/24-octave grid are used. */
export const curveStep = 8;
/** Relative uncertainty of a predicted response. */
const modelShare = 0.08;
/** A range this many spreads wide costs as much as any wider one. */
const widest = 24;
/** Nats per parameter fitted to the response. */
const costPerFigure = 1.5;

/** How well a prediction fits a path, and what speaks most against it. */
export interface Fit {
  /** Nats, relative to an exact prediction that everything matches. */
  readonly logLikelihood: number;
  readonly against: readonly Evidence[];
  /** The contribution of each reading, nats, and the range it was compared with. */
  readonly parts: readonly FitPart[];
}

export interface FitPart {
  /** A reading, `response`, `fitted` for the cost of fitted parameters, or `sign`. */
  readonly id: ReadingId | "response" | "fitted" | "sign";
  readonly range?: DeviationRange;
  readonly nats: number;
}

/**
 * Log-likelihood of what is seen under a prediction.
 *
 * A reading's deviation is taken to be spread evenly over the predicted range, widened by the
 * spread of healthy siblings with the heavy tail of Student's t, ν = 4, so that no single reading
 * decides alone (K. L. Lange, R. J. A. Little, J. M. G. Taylor, "Robust statistical modeling using
 * the t distribution", J. Am. Stat. Assoc. 84(408), 1989). A wide range says less and costs more.
 *
 * @example
 * const evidence = (values) => ({
 *   path: "7/mic",
 *   findings: [],
 *   features: new Map(Object.entries(values)),
 *   others: [],
 * });
 *
 * const dull = { name: "gain", unit: "dB", deviation: -6, spread: 0.5 };
 * const fit = (range) => computeFit(evidence({ gain: dull }), { moves: { gain: range } });
 * fit([-7, -5]).logLikelihood > fit([0, 0]).logLikelihood; // true
 * fit([0, 0]).against; // [{ code: "reading-unexplained", reading: "gain", deviation: -6, unit: "dB" }]
 */
export function computeFit(path: PathEvidence, prediction: Prediction): Fit {
  const against: Evidence[] = [];
  const parts: FitPart[] = [{ id: "fitted", nats: -costPerFigure * (prediction.fitted ?? 0) }];
  if (prediction.sign !== undefined) parts.push({ id: "sign", nats: prediction.sign });
  for (const [id, feature] of selectFeatures(path)) {
    const range: DeviationRange = prediction.moves[id] ?? [0, 0];
    const nats = computeLogDensity(feature, range);
    parts.push({ id, range, nats });
    const line = nats < doubtful ? objection(id, feature, range) : undefined;
    if (line) against.push(line);
  }
  const curve = curveFit(path, prediction.response, prediction.wander);
  parts.push({ id: "response", nats: curve.nats });
  if (curve.against) against.push(curve.against);
  return { logLikelihood: parts.reduce((sum, { nats }) => sum + nats, 0), against, parts };
}

/** A reading that costs more nats than this counts against a cause. */
const doubtful = -4;

/**
 * The readings of a path by which causes are judged.
 *
 * @example
 * const evidence = (values) => ({
 *   path: "7/mic",
 *   findings: [],
 *   features: new Map(Object.entries(values)),
 *   others: [],
 * });
 *
 * const alike = { name: "noise", unit: "dB", deviation: 3, spread: 1 };
 * // Two that measure nearly the same count as one.
 * selectFeatures(evidence({ noise20k: alike, noiseA: alike })).length; // 1
 */
export function selectFeatures(path: PathEvidence): readonly (readonly [ReadingId, Feature])[] {
  return groups.flatMap((group) => {
    const id = group.find((name) => path.features.has(name));
    const feature = id === undefined ? undefined : path.features.get(id);
    return id === undefined || !feature ? [] : [[id, feature] as const];
  });
}

/**
 * Log density of a deviation, relative to an exact prediction that it matches. A range that
 * includes zero means that the cause may leave the reading unchanged: most of the density stays
 * with the siblings.
 *
 * @example
 * const off = { name: "gain", unit: "dB", deviation: 2, spread: 1 };
 * // Predicted at a point: Student's t of (2 − 0)/1, ν = 4, against its peak: −2.5·ln 2.
 * computeLogDensity(off, [0, 0]); // -1.732868
 * computeLogDensity(off, [2, 2]); // 0
 */
export function computeLogDensity(
  { deviation, spread }: Feature,
  [low, high]: DeviationRange,
): number {
  const outside = Math.max(low - deviation, deviation - high, 0);
  const width = Math.min((high - low) / (2.5 * spread), widest);
  const moved = logStudentT4(outside / spread) - Math.log1p(width);
  if (width === 0 || low > 0 || high < 0) return moved;
  const still = logStudentT4(deviation / spread);
  return Math.log(leftAlone * Math.exp(still) + (1 - leftAlone) * Math.exp(moved));
}

/** How often a cause leaves a reading unchanged that it may change. */
const leftAlone = 0.7;

/**
 * Student's t with four degrees of freedom, relative to its peak.
 *
 * @example
 * logStudentT4(0); // 0
 * // −2.5·ln(1 + 2²/4)
 * logStudentT4(2); // -1.732868
 */
export function logStudentT4(t: number): number {
  return -2.5 * Math.log1p((t * t) / 4);
}

function objection(
  reading: ReadingId,
  { unit, deviation, spread }: Feature,
  [low, high]: DeviationRange,
): Evidence | undefined {
  const seen = { reading, deviation, unit };
  // A wide range costs nats, but a deviation inside it is what the cause predicts, not evidence
  // against it.
  if (deviation >= low && deviation <= high) return undefined;
  // So little is doubtful only where the range leaves out zero.
  if (Math.abs(deviation) < clearScore * spread) return { code: "reading-unmoved", ...seen };
  return low === 0 && high === 0
    ? { code: "reading-unexplained", ...seen }
    : { code: "reading-otherwise", ...seen };
}

/**
 * An unsteady level explains any curve and so says little: its extent costs nats, once per curve.
 */
const wanderCost = 3;

function curveFit(
  path: PathEvidence,
  response: Prediction["response"],
  wander = 0,
): { readonly nats: number; readonly against?: Evidence } {
  const curve = path.response;
  if (!curve || curve.x.length === 0) return { nats: 0 };
  const still = curveFitWithin(curve, response, 0);
  if (wander === 0) return still;
  const wandering = curveFitWithin(curve, response, wander);
  const nats = wandering.nats - wanderCost;
  return nats > still.nats ? { ...wandering, nats } : still;
}

/** The response below the band counts as this many more readings, because it shows capacitors. */
const lowWeight = 3;

function curveFitWithin(
  curve: ResponseDeviation,
  response: Prediction["response"],
  wander: number,
): { readonly nats: number; readonly against?: Evidence } {
  const first = Math.max(
    0,
    curve.x.findIndex((hz) => hz >= bandFromHz),
  );
  const within = misfitOf(curve, response, wander, first + (curveStep >> 1), curveStep);
  const below = misfitOf(curve, response, wander, 0, 1, first);
  const nats = curveWeight * within.meanNats + lowWeight * below.meanNats;
  const { worst, worstAt } = Math.abs(below.worst) > Math.abs(within.worst) ? below : within;
  if (Math.abs(worst) < clearScore) return { nats };
  const rest = curve.y[worstAt] - (response?.(curve.x[worstAt]) ?? 0);
  const at = curve.x[worstAt];
  return {
    nats,
    against: { code: "response-beyond", byDb: rest, atHz: at },
  };
}

function misfitOf(
  curve: ResponseDeviation,
  response: Prediction["response"],
  wander: number,
  from: number,
  step: number,
  to = curve.x.length,
): { readonly meanNats: number; readonly worst: number; readonly worstAt: number } {
  let sum = 0;
  let count = 0;
  let worst = 0;
  let worstAt = 0;
  for (let i = from; i < to; i += step) {
    const expected = response?.(curve.x[i]) ?? 0;
    const rest = curve.y[i] - expected;
    const beyond = Math.sign(rest) * Math.max(0, Math.abs(rest) - wander);
    const t = beyond / Math.hypot(curve.spread[i], modelShare * expected);
    sum += logStudentT4(t);
    count++;
    if (Math.abs(t) > Math.abs(worst)) {
      worst = t;
      worstAt = i;
    }
  }
  return { meanNats: count === 0 ? 0 : sum / count, worst, worstAt };
}

/**
 * The path without what a prediction explains: what is left to explain. How much of that the other
 * side has is not known.
 *
 * @example
 * const evidence = (values) => ({
 *   path: "7/mic",
 *   findings: [],
 *   features: new Map(Object.entries(values)),
 *   others: [],
 * });
 *
 * const off = { name: "gain", unit: "dB", deviation: -6, spread: 0.5 };
 * const rest = subtractPrediction(evidence({ gain: off }), { moves: { gain: [-5, 0] } });
 * rest.features.get("gain").deviation; // -1
 */
export function subtractPrediction(whole: PathEvidence, prediction: Prediction): PathEvidence {
  const { beside: _, ...seen } = whole;
  const path = prediction.wander === undefined ? seen : withoutBreaks(seen);
  const features = new Map<ReadingId, Feature>();
  for (const [id, feature] of path.features) {
    const [low, high] = prediction.moves[id] ?? [0, 0];
    const explained = Math.max(low, Math.min(high, feature.deviation));
    features.set(id, { ...feature, deviation: feature.deviation - explained });
  }
  const { response } = path;
  const { wander = 0 } = prediction;
  if (!response || (!prediction.response && wander === 0)) return { ...path, features };
  const beyond = (db: number) => Math.sign(db) * Math.max(0, Math.abs(db) - wander);
  return {
    ...path,
    features,
    response: {
      ...response,
      y: response.y.map((y, i) => beyond(y - (prediction.response?.(response.x[i]) ?? 0))),
    },
  };
}

/** An unsteady contact explains all breaks of the level, so none are left for another cause. */
function withoutBreaks(path: PathEvidence): PathEvidence {
  const { measurement } = path;
  if (measurement?.marks === undefined) return path;
  const marks = measurement.marks.filter(({ kind }) => kind !== "level-break");
  return { ...path, measurement: { ...measurement, marks } };
}

/** Extra nats that "none of these" costs per striking reading, beyond the widest range. */
const surprise = 4;

/**
 * Log-likelihood of "none of these": outliers may be anywhere, at a fixed cost.
 *
 * @example
 * const evidence = (values) => ({
 *   path: "7/mic",
 *   findings: [],
 *   features: new Map(Object.entries(values)),
 *   others: [],
 * });
 *
 * computeUnexplained(evidence({})); // 0
 * const far = { name: "gain", unit: "dB", deviation: -60, spread: 0.5 };
 * // An outlier may be anywhere, at a cost that does not grow with it: −ln 25 − 4.
 * computeUnexplained(evidence({ gain: far })); // -7.218876
 */
export function computeUnexplained(path: PathEvidence): number {
  let sum = 0;
  for (const [, feature] of selectFeatures(path)) {
    sum += Math.max(
      logStudentT4(feature.deviation / feature.spread),
      -Math.log1p(widest) - surprise,
    );
  }
  const curve = curveFit(path, undefined).nats;
  const below = path.response !== undefined && path.response.x[0] < bandFromHz;
  return sum + Math.max(curve, -1.5 * (curveWeight + (below ? lowWeight : 0)));
}

/**
 * Whether anything on a path is left to explain.
 *
 * @example
 * const evidence = (values) => ({
 *   path: "7/mic",
 *   findings: [],
 *   features: new Map(Object.entries(values)),
 *   others: [],
 * });
 *
 * const off = { name: "gain", unit: "dB", deviation: -6, spread: 0.5 };
 * isStriking(evidence({ gain: off }), 3.5); // true
 * isStriking(evidence({}), 3.5); // false
 */
export function isStriking(path: PathEvidence, least: number): boolean {
  if (selectFeatures(path).some(([, f]) => Math.abs(f.deviation / f.spread) > least)) return true;
  const curve = path.response;
  if (!curve) return false;
  let run = 0;
  for (let i = 0; i < curve.x.length; i++) {
    run = Math.abs(curve.y[i] / curve.spread[i]) > least ? run + 1 : 0;
    if (run >= 5) return true;
  }
  return false;
}
