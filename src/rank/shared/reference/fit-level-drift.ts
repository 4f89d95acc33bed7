import { median, qn } from "../../../dsp/robust.js";
import { groupBy } from "../../../text/group-by.js";
import type { DriftCourse } from "./types.js";

/** A path of a round: its position in time, and its gain. */
export interface TimedGain {
  readonly path: string;
  readonly family: string;
  /** 0 for the first path of the round. */
  readonly turn: number;
  readonly gainDb: number;
}

/** Part of a change that applies to a path, 0 to 1, with standard deviations. */
export interface DriftPart {
  readonly part: number;
  readonly doubt: number;
  /** The same relative to the path's siblings. */
  readonly doubtAmongSiblings: number;
}

/** How a change of the level is spread over a round. */
export interface FittedDrift {
  readonly course: DriftCourse;
  /** For a step: the first turn after it. */
  readonly fromTurn?: number;
  readonly parts: ReadonlyMap<string, DriftPart>;
  /** Whether the paths without the change are as similar as siblings are. */
  readonly fits: boolean;
}

/** Part of the whole change that applies at a turn. */
interface Shape {
  readonly course: Exclude<DriftCourse, "unclear">;
  readonly fromTurn?: number;
  readonly part: (turn: number) => number;
  readonly prior: number;
}

/** Time constants of warming up, as shares of the round. */
const constants = [0.06, 0.15, 0.35];
/**
 * Scatter of levels among siblings, decibels: from settings by hand and resistors (common practice,
 * no source).
 */
const scatterDb = { least: 0.1, most: 0.5 } as const;
/** Decibels; levels of families fed at nominal agree within this (common practice, no source). */
const familiesDb = 0.7;
/**
 * Largest cost of a path, so that one fault does not outweigh all others: logarithm of Student's
 * density, cut off.
 */
const mostCost = 6;
/** Probability from which a course is reported. */
const clear = 0.85;
/**
 * Decibels; after subtracting the change, only siblings with a fault differ by more than this if
 * the order is right.
 */
const strangeDb = 0.8;
const mostStrange = 0.25;
const fewest = 3;

/**
 * Finds the course of a known change of the level: tries a step at every moment and several creeps,
 * and weighs them by how similar siblings then are.
 *
 * @param paths of the round
 *
 * @param changeDb last minus first, by the reference path
 *
 * @param turns number of paths recorded between the two
 * @example
 * // Eight paths, and from the fifth on all are 2 dB up.
 * const paths = [0, 0, 0, 0, 2, 2, 2, 2].map((gainDb, turn) => ({
 *   path: `${turn + 1}/mic`,
 *   family: "mic",
 *   turn,
 *   gainDb,
 * }));
 * const fit = fitLevelDrift(paths, 2, 8);
 * fit.course; // "step"
 * fit.fromTurn; // 4
 */
export function fitLevelDrift(
  paths: readonly TimedGain[],
  changeDb: number,
  turns: number,
): FittedDrift {
  const shapes = listShapes(turns);
  const residuals = shapes.map(({ part }) => computeResiduals(paths, changeDb, part));
  const spreads = residuals.map(({ own }) => (own.length < fewest ? scatterDb.most : qn(own)));
  const least = Math.min(...spreads);
  const scatter = Math.min(scatterDb.most, Math.max(scatterDb.least, least));
  const costs = residuals.map(
    ({ own, between }) => sumCosts(own, scatter) + sumCosts(between, familiesDb),
  );
  const lowest = Math.min(...costs);
  const raw = shapes.map(({ prior }, k) => prior * Math.exp(lowest - costs[k]));
  const total = raw.reduce((sum, weight) => sum + weight, 0);
  const weights = raw.map((weight) => weight / total);
  const best = shapes[weights.indexOf(Math.max(...weights))];
  const { own: left } = residuals[shapes.indexOf(best)];
  const strange = left.filter((one) => Math.abs(one) > strangeDb).length;
  const fits = left.length >= fewest && strange <= mostStrange * left.length;
  const parts = weighParts(paths, shapes, weights);
  const likely = shapes.reduce(
    (sum, { course }, k) => sum + (course === best.course ? weights[k] : 0),
    0,
  );
  if (!fits || likely < clear) return { course: "unclear", parts, fits };
  const { course, fromTurn } = best;
  return { course, ...(fromTurn === undefined ? {} : { fromTurn }), parts, fits };
}

/** Steps before each path and after the last; linear and exponential creeps. */
function listShapes(turns: number): readonly Shape[] {
  const steps = Array.from(
    { length: turns + 1 },
    (_, from): Shape => ({
      course: "step",
      fromTurn: from,
      part: (turn) => (turn >= from ? 1 : 0),
      prior: 1 / (turns + 1),
    }),
  );
  // The first turn is one before the first path, the last one after the last path.
  const place = (turn: number) => (turn + 1) / (turns + 1);
  const creep = (part: (at: number) => number): Shape => ({
    course: "creep",
    part: (turn) => part(place(turn)),
    prior: 1 / (constants.length + 1),
  });
  const slowing = constants.map((constant) =>
    creep((at) => (1 - Math.exp(-at / constant)) / (1 - Math.exp(-1 / constant))),
  );
  return [...steps, creep((at) => at), ...slowing];
}

/**
 * Gains without a part of the change: each path relative to its siblings, each family relative to
 * all.
 */
function computeResiduals(paths: readonly TimedGain[], changeDb: number, part: Shape["part"]) {
  const families = groupBy(paths, ({ family }) => family);
  const left = [...families.values()].map((own) =>
    own.map(({ turn, gainDb }) => gainDb - changeDb * part(turn)),
  );
  const told = left.filter(({ length }) => length >= fewest);
  const middles = told.map(median);
  const middle = middles.length === 0 ? 0 : median(middles);
  return {
    own: told.flatMap((family, k) => family.map((one) => one - middles[k])),
    between: middles.map((one) => one - middle),
  };
}

function weighParts(
  paths: readonly TimedGain[],
  shapes: readonly Shape[],
  weights: readonly number[],
): ReadonlyMap<string, DriftPart> {
  const moments = (values: readonly number[]) => {
    const mean = values.reduce((sum, value, k) => sum + weights[k] * value, 0);
    const square = values.reduce((sum, value, k) => sum + weights[k] * (value - mean) ** 2, 0);
    return { mean, deviation: Math.sqrt(square) };
  };
  const found = new Map<string, DriftPart>();
  for (const own of groupBy(paths, ({ family }) => family).values()) {
    const middles = shapes.map(({ part }) => median(own.map(({ turn }) => part(turn))));
    for (const { path, turn } of own) {
      const parts = shapes.map(({ part }) => part(turn));
      const { mean, deviation } = moments(parts);
      const among = moments(parts.map((one, k) => one - middles[k]));
      found.set(path, { part: mean, doubt: deviation, doubtAmongSiblings: among.deviation });
    }
  }
  return found;
}

/** Minus the logarithm of Student's density with four degrees of freedom, cut off. */
function sumCosts(residuals: readonly number[], scatter: number): number {
  return residuals.reduce(
    (sum, one) => sum + Math.min(mostCost, 2.5 * Math.log1p((one / scatter) ** 2 / 4)),
    0,
  );
}
