import { amplitudeToDb, dbPerNeper } from "../dsp/decibels.js";
import { fitRollOff, type RollOffFit, type RollOffPoint } from "../dsp/roll-off.js";
import type { Absence, Absent } from "./absence.js";
import { computeResponse, computeResponseMethodDb } from "./sweep.js";
import type { SweepAnalysis } from "./sweep-answer.js";

/** One end of a path's response. */
export type ResponseEnd = "low" | "high";

/** Where and how steeply a response rolls off; uncertainties expanded, 95 %. */
export interface RollOff {
  readonly corner: Corner | Absent;
  readonly order: { readonly value: number; readonly uncertainty: number } | Absent;
}

const halfPowerDb = 10 * Math.log10(2);
/** Beyond these multiples of its edges the sweep has too little energy. */
export const edgeShare = { low: 1.6, high: 0.965 } as const;
/** Points per octave at which the response is searched for its corner, and fitted. */
const searchedPerOctave = 48;
const fittedPerOctave = 12;
/** Hertz; from this distance, points of a gate of one second have independent noise. */
export const leastApartHz = 1.25;
/** Extent of the flat part in the fit, as a ratio to the corner frequency. */
const flatRatio = 12;
/** Hertz; the flat part extends at least to here if the corner is beyond the sweep. */
const flatHz = { low: 250, high: 2000 } as const;
/** A corner is extrapolated this far and no further. */
const furthest = { low: 1, high: 3 } as const;
/** Relative uncertainty above which a corner is not reported. */
const mostDoubt = 0.5;
/** Uncertainty of the order above which one capacitor and a filter cannot be distinguished. */
const mostOrderDoubt = 0.5;
/** Decibels; with a larger residual the response is not a roll-off. */
const mostRestDb = 0.1;
/** Also if the fitted corner is this many uncertainties from the −3 dB crossing. */
const mostApart = 1.5;
/** A corner is only extrapolated from a droop of this many decibels within the sweep. */
const leastDroopDb = { low: 0.05, high: 0.2 } as const;
/**
 * If the residual exceeds the noise, the droop must be this many times the residual. At the upper
 * end none is accepted, because the edges of digital filters begin as softly.
 */
const leastDroopToRest = { low: 100, high: Number.POSITIVE_INFINITY } as const;
/** Also not if shapes steeper than third order are this likely: a digital filter's edge. */
const mostSteepShare = 0.1;
/**
 * Relative error of interpolation and gating: the largest difference between a circuit simulator's
 * small-signal analysis and the reading from its capture.
 */
const leastRelative = 2e-4;
const leastOrder = 0.01;
/** Relative; with more, the reference at 1 kHz is not known well enough. */
const mostReferenceDeviation = 0.05;

/** A point of a response, decibels relative to 1 kHz, with its standard deviation. */
export interface ResponseLevel {
  readonly hz: number;
  readonly db: number;
  readonly stdDev: number;
}

/** One end of a response, from any source. */
export interface ResponseSide {
  readonly end: ResponseEnd;
  /** Limit of the known response, hertz. */
  readonly edgeHz: number;
  /** Relative standard deviation of the level at 1 kHz, the reference. */
  readonly reference: number;
  /** Its points in order, from 1 kHz outwards to the edge. */
  outwards(): Iterable<ResponseLevel>;
  /** The response between two consecutive points, if it can be read there. */
  at?(hz: number): ResponseLevel;
  /** Points between two frequencies whose noise is independent, rising. */
  between(fromHz: number, toHz: number): readonly ResponseLevel[];
}

/**
 * The roll-off at one end of the response to the sweep.
 *
 * @see {@link findRollOff}
 * @example
 * const context = createReturnContext(audio);
 *
 * const { corner, order } = computeRollOff(context.sweep(), "low");
 * // A one-pole high-pass of 100 Hz.
 * Math.abs(corner.hz - 100) < 2; // true
 * order.value.toFixed(2); // "1.00"
 */
export function computeRollOff(answer: SweepAnalysis, end: ResponseEnd): RollOff {
  const reference = computeResponse(answer, 1000);
  const { stdDev = 0 } = reference;
  if (!(reference.magnitude > 0)) return nothing({ code: "sweep-gone" });
  if (stdDev > mostReferenceDeviation)
    return nothing({ code: "sweep-in-noise", where: "reference" });
  const edgeHz = edgeShare[end] * (end === "low" ? answer.sweep.fromHz : answer.sweep.toHz);
  return findRollOff({
    end,
    edgeHz,
    reference: stdDev,
    *outwards() {
      const octaves = Math.abs(Math.log2(edgeHz / 1000));
      const steps = Math.ceil(octaves * searchedPerOctave);
      for (let n = 1; n <= steps; n++) {
        yield levelAt(answer, 1000 * (edgeHz / 1000) ** (n / steps), reference.magnitude);
      }
    },
    at: (hz) => levelAt(answer, hz, reference.magnitude),
    between: (fromHz, toHz) => levelsBetween(answer, fromHz, toHz, reference.magnitude),
  });
}

/**
 * The roll-off at one end of a response: the −3.01 dB point relative to 1 kHz and the steepness.
 *
 * Filters of first to third order are fitted to the response from its flat part to its edge. Within
 * it the corner is where the fit has fallen by 3.01 dB; beyond, down to 1 Hz and up to three times
 * the edge, it is extrapolated from the droop as long as its uncertainty stays below half of it,
 * and as long as the fit leaves no more than the noise and a small share of the droop. A response
 * of another shape (a bump, a shelf, a brick wall) has its corner where it crosses −3.01 dB, and no
 * order; if it does not cross within its edge, it has neither.
 *
 * @example
 * const at = (hz) => ({ hz, db: -powerToDb(1 + (100 / hz) ** 2), stdDev: 1e-4 });
 * const side = {
 *   end: "low",
 *   edgeHz: 20,
 *   reference: 0,
 *   *outwards() {
 *     for (let hz = 990; hz > 20; hz /= 1.01) yield at(hz);
 *   },
 *   at,
 *   between: (fromHz, toHz) => buildOctaveGrid(12, fromHz, toHz).map(at),
 * };
 * findRollOff(side).corner.hz.toFixed(1); // "100.0"
 */
export function findRollOff(side: ResponseSide): RollOff {
  const { end, edgeHz } = side;
  const crossing = crossingOf(side);
  const points = pointsOf(side, crossing?.hz);
  const fit = fitRollOff(points, -halfPowerDb);
  const usualRest = Math.sqrt(points.reduce((sum, p) => sum + p.stdDev ** 2, 0) / points.length);
  const unseen = { code: "corner-beyond-sweep", end, edgeHz } as const;
  const fitted = fit && fittedCorner(fit, end, crossing ? side.reference : 0);
  const isShaped = fit !== undefined && fit.restDb < Math.max(mostRestDb, 2 * usualRest);
  const otherShape = { code: "other-shape", end } as const;
  const isSteep = fit !== undefined && fit.steepShare > mostSteepShare;
  if (crossing && !(fitted && isShaped && !isSteep && agree(fitted, crossing))) {
    return { corner: crossing, order: { absent: otherShape } };
  }
  if (!fit || !fitted || !isShaped) return nothing(unseen, unreached);
  const { hz, uncertainty, share } = fitted;
  if (!crossing) {
    if (!(fit.fallDb > leastDroopDb[end])) return nothing(unseen, unreached);
    const missedDb = Math.sqrt(Math.max(0, fit.restDb ** 2 - usualRest ** 2));
    const fits = fit.excess <= fit.mostExcess || fit.fallDb > leastDroopToRest[end] * missedDb;
    if (!fits || isSteep) {
      return nothing({ ...unseen, isOtherShape: true }, otherShape);
    }
    const isNear = end === "low" ? hz >= furthest.low : hz <= furthest.high * edgeHz;
    if (!isNear || share >= mostDoubt) return nothing(unseen, unreached);
  }
  // A residual beyond the noise may shift the fitted corner; the crossing is independent of it.
  const corner = crossing && fit.excess > fit.mostExcess ? crossing : { hz, uncertainty };
  return { corner, order: orderOf(fit.order) };
}

const unreached: Absence = { code: "no-roll-off" };

interface Corner {
  readonly hz: number;
  readonly uncertainty: number;
}

/** @param reference relative standard deviation of the response at 1 kHz */
function fittedCorner(fit: RollOffFit, end: ResponseEnd, reference: number) {
  const hz = Math.exp((end === "low" ? -0.5 : 0.5) * fit.corner.value);
  const share = Math.expm1(fit.corner.stdDev);
  const reference95 = (2 * dbPerNeper * reference * hz) / leastSlopeDb;
  const uncertainty = Math.hypot(hz * Math.max(leastRelative, share), reference95);
  return { hz, uncertainty, share };
}

function agree(a: Corner, b: Corner): boolean {
  return Math.abs(a.hz - b.hz) <= mostApart * Math.hypot(a.uncertainty, b.uncertainty);
}

/** Slope of a first-order roll-off at its corner, decibels per neper of frequency. */
const leastSlopeDb = 10 / Math.LN10;

function nothing(corner: Absence, order = corner): RollOff {
  return { corner: { absent: corner }, order: { absent: order } };
}

function orderOf({ value, stdDev }: { value: number; stdDev: number }): RollOff["order"] {
  const uncertainty = Math.hypot(leastOrder, 2 * stdDev);
  if (uncertainty > mostOrderDoubt) {
    return { absent: { code: "order-unclear" } };
  }
  return { value, uncertainty };
}

/** Where the response first crosses −3.01 dB, going outwards from 1 kHz. */
function crossingOf(side: ResponseSide): Corner | undefined {
  const points: ResponseLevel[] = [{ hz: 1000, db: 0, stdDev: 0 }];
  for (const next of side.outwards()) {
    points.push(next);
    const early = points.length - 1 - slopeReach;
    if (early > 0 && points[early].db <= -halfPowerDb) break;
  }
  const far = points.findIndex(({ db }) => db <= -halfPowerDb);
  return far < 0 ? undefined : crossingBetween(side, points, far);
}

const bisections = 14;
/** Points on either side for the slope at the crossing. */
const slopeReach = 4;
/** The slope between two neighbours is at least that slope divided by this. */
const leastOfAround = 4;

/**
 * The crossing between a point above and one below, on the response itself or on a cubic through
 * four points.
 */
function crossingBetween(
  side: ResponseSide,
  points: readonly ResponseLevel[],
  far: number,
): Corner {
  const [a, b] = [points[far - 1], points[far]];
  const ratio = Math.log(b.hz / a.hz);
  // The slope, decibels per neper of frequency, converts the level's uncertainty into the corner's.
  // Noise changes the slope between neighbours, and a steep edge the wider one: the gentler counts.
  const from = points[Math.max(0, far - 1 - slopeReach)];
  const to = points[Math.min(points.length - 1, far + slopeReach)];
  const around = Math.abs((to.db - from.db) / Math.log(to.hz / from.hz));
  const within = Math.abs((b.db - a.db) / ratio);
  const slope = Math.min(around, Math.max(within, around / leastOfAround));
  const straight = (-halfPowerDb - a.db) / (b.db - a.db);
  let low = 0;
  let high = 1;
  for (let pass = 0; pass < bisections; pass++) {
    const share = (low + high) / 2;
    const db = side.at
      ? side.at(a.hz * Math.exp(share * ratio)).db
      : bentBetween(points, far, share);
    if (db > -halfPowerDb) low = share;
    else high = share;
  }
  const share = (low + high) / 2;
  const hz = a.hz * Math.exp(share * ratio);
  const drawn = side.at ? 0 : bentDoubt * Math.abs(share - straight) * Math.abs(ratio);
  const levelDb = 2 * Math.hypot(b.stdDev, dbPerNeper * side.reference);
  const relative = Math.hypot(levelDb / slope, drawn);
  return { hz, uncertainty: hz * Math.max(leastRelative, relative) };
}

/** Relative uncertainty of the curvature through four points. */
const bentDoubt = 0.2;

/** Level between points `far − 1` and `far` on the cubic in ln f through them and their neighbours. */
function bentBetween(points: readonly ResponseLevel[], far: number, share: number): number {
  const four = points.slice(Math.max(0, far - 2), far + 2);
  const from = Math.log(points[far - 1].hz);
  const at = from + share * (Math.log(points[far].hz) - from);
  let db = 0;
  for (const one of four) {
    let weight = 1;
    for (const other of four) {
      if (other === one) continue;
      weight *= (at - Math.log(other.hz)) / Math.log(one.hz / other.hz);
    }
    db += weight * one.db;
  }
  return db;
}

/** The response from its flat part to the edge, for the fit. */
function pointsOf(side: ResponseSide, cornerHz: number | undefined): readonly RollOffPoint[] {
  const { end, edgeHz } = side;
  const flat =
    end === "low"
      ? Math.min(1000, Math.max(flatHz.low, flatRatio * (cornerHz ?? 0)))
      : Math.max(1000, Math.min(flatHz.high, (cornerHz ?? edgeHz) / flatRatio));
  const levels = end === "low" ? side.between(edgeHz, flat) : side.between(flat, edgeHz);
  return levels.map(({ hz, db, stdDev }) => ({
    u: end === "low" ? hz ** -2 : hz ** 2,
    db,
    stdDev,
  }));
}

function levelsBetween(
  answer: SweepAnalysis,
  fromHz: number,
  toHz: number,
  reference: number,
): readonly ResponseLevel[] {
  const levels: ResponseLevel[] = [];
  for (let hz = fromHz; hz <= toHz; ) {
    const level = levelAt(answer, hz, reference);
    if (Number.isFinite(level.db)) levels.push(level);
    hz = nextIndependentHz(hz);
  }
  return levels;
}

/**
 * The next frequency with independent noise, not needlessly close.
 *
 * @example
 * nextIndependentHz(10); // 11.25
 * nextIndependentHz(1000).toFixed(1); // "1059.5"
 */
export function nextIndependentHz(hz: number): number {
  return Math.max(hz + leastApartHz, hz * 2 ** (1 / fittedPerOctave));
}

function levelAt(answer: SweepAnalysis, hz: number, reference: number): ResponseLevel {
  const { magnitude, stdDev = 0 } = computeResponse(answer, hz);
  return {
    hz,
    db: amplitudeToDb(magnitude / reference),
    stdDev: Math.hypot(computeResponseMethodDb(answer, hz) / 2, dbPerNeper * stdDev),
  };
}
