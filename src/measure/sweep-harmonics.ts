import { createOwnBuffer } from "../dsp/buffer-pool.js";
import {
  computeSpectrum,
  type Gate,
  type GatedSpectrum,
  gateResponseAt,
  type ImpulseResponse,
} from "../dsp/deconvolution.js";
import { buildOctaveGrid } from "../dsp/octave-grid.js";
import { computeDensityAround } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/types.js";
import type { HarmonicCurve, HarmonicPoint, SweepAnalysis } from "./sweep-answer.js";

export const maxOrder = 10;

/**
 * Extent of a gate as a share of the distance to the next response. The harmonics' responses begin
 * at −L·ln n and ring towards later times, so a gate extends further on that side.
 */
const towardsEarlier = 0.5;
const towardsLater = 0.85;
/** Length of the narrower gate used for comparison, as a share. */
const narrower = 0.6;
/**
 * Above these frequencies of the fundamental a response is short, and a shorter gate lets in less
 * noise.
 */
const zones = [
  { toHz: 200, mostAfterS: Number.POSITIVE_INFINITY },
  { toHz: 1500, mostAfterS: 0.05 },
  { toHz: Number.POSITIVE_INFINITY, mostAfterS: 0.02 },
] as const;

/** Points per octave of the fundamental; at most sixty points per curve. */
const perOctave = 6;
const fromHz = 20;
const toHz = 18_000;
/** Above this share of its upper edge the sweep has too little energy. */
const highestShare = 0.965;

/**
 * Highest frequency of a harmonic, hertz.
 *
 * @example
 * const { sweep } = createReturnContext(audio).sweep();
 * getHighestHarmonicHz(sweep) <= 22_050; // true
 */
export function getHighestHarmonicHz(sweep: SweepSegment): number {
  return highestShare * sweep.toHz;
}

/**
 * Frequencies of the fundamental at which a harmonic is read, rising. All orders begin at the same
 * frequency; higher ones leave the band earlier.
 *
 * @example
 * const { sweep } = createReturnContext(audio).sweep();
 *
 * const grid = buildHarmonicGrid(sweep, 2);
 * // The second harmonic of the last frequency is still in the band.
 * 2 * grid.at(-1) <= getHighestHarmonicHz(sweep) * 1.001; // true
 */
export function buildHarmonicGrid(sweep: SweepSegment, order: number): readonly number[] {
  const lowestHz = Math.max(fromHz, getLowestSeparableHz(sweep));
  return buildOctaveGrid(perOctave, lowestHz, Math.min(toHz, getHighestHarmonicHz(sweep) / order));
}

/** Data for reading the harmonics of a sweep. */
export type HarmonicGround = Pick<SweepAnalysis, "sweep" | "reference" | "noise" | "shaping">;

/**
 * Reads harmonics 2 to 10 from the response to a sweep: the response of harmonic n is at −L·ln n
 * (A. Novak, P. Lotton, L. Simon, "Synchronized Swept-Sine: Theory, Application, and
 * Implementation", J. Audio Eng. Soc. 63(10), 2015, eq. 38).
 *
 * @param response to the sweep
 * @example
 * const context = createReturnContext(audio);
 *
 * const { harmonics } = context.sweep();
 * harmonics.map(({ order }) => order); // [2, 3, 4, 5, 6, 7, 8, 9, 10]
 */
export function readHarmonics(
  ground: HarmonicGround,
  response: ImpulseResponse,
): readonly HarmonicCurve[] {
  const { sweep } = ground;
  const harmonics: HarmonicCurve[] = [];
  for (let order = 2; order <= maxOrder; order++) {
    const grid = buildHarmonicGrid(sweep, order);
    const centreS = -sweep.rateS * Math.log(order);
    const points: HarmonicPoint[] = [];
    for (const { toHz, mostAfterS } of zones) {
      const here = grid.filter((hz, k) => k >= points.length && hz <= toHz);
      if (here.length === 0) continue;
      const wide = gateOf(sweep.rateS, order, mostAfterS, 1);
      const narrow = gateOf(sweep.rateS, order, mostAfterS, narrower);
      const within = gateResponseAt(response, centreS, wide, undefined, withinRoom);
      const outer = gateResponseAt(response, centreS, wide, narrow, outerRoom);
      for (const hz of here) points.push(pointAt(ground, order, hz, within, outer));
    }
    harmonics.push({ order, points });
  }
  return harmonics;
}

const withinRoom = createOwnBuffer();
const outerRoom = createOwnBuffer();

function gateOf(rateS: number, order: number, mostAfterS: number, share: number): Gate {
  const earlierS = rateS * Math.log((order + 1) / order);
  const laterS = rateS * Math.log(order / (order - 1));
  const beforeS = share * Math.min(towardsEarlier * earlierS, mostAfterS / 2);
  const afterS = share * Math.min(towardsLater * laterS, mostAfterS);
  return { beforeS, fadeInS: 0.9 * beforeS, afterS, fadeOutS: 0.6 * afterS };
}

/**
 * Lowest fundamental at which the harmonics of a sweep are separable: five periods must fit into
 * the time in which the sweep covers a factor e of frequency. 25 Hz for the quick signal.
 */
function getLowestSeparableHz(sweep: SweepSegment): number {
  return 5 / sweep.rateS;
}

/**
 * A filter before the nonlinearity delays each frequency slightly differently, which shifts
 * harmonic n relative to the sweep. On first-order high-passes in closed form: at most this many
 * decibels times n/(L·f), L·f being the slowness of the sweep at f.
 */
const slownessDb = 0.4;

/**
 * One harmonic at one frequency of the fundamental.
 *
 * @param within response through its gate
 *
 * @param outer response in the outer part of the gate: overlap of neighbours, a truncated tail
 */
function pointAt(
  { sweep, reference, noise, shaping }: HarmonicGround,
  order: number,
  hz: number,
  within: GatedSpectrum,
  outer: GatedSpectrum,
): HarmonicPoint {
  const atHz = order * hz;
  const shape = shaping(atHz);
  const shaped = shape.re ** 2 + shape.im ** 2;
  const squared = (gated: GatedSpectrum) => {
    const { re, im } = computeSpectrum(gated, atHz);
    return (re * re + im * im) / shaped;
  };
  const sent = reference.power[Math.round((atHz * reference.size) / reference.sampleRate)];
  const density = noise ? computeDensityAround(noise, atHz, Math.max(8, atHz / 12)) : 0;
  const perSample = (density * (reference.sampleRate / 2)) / sent;
  const outerNoise = perSample * outer.noiseSamples;
  const beside = squared(outer);
  return {
    power: squared(within),
    noise: perSample * within.noiseSamples,
    // Up to this factor it may be noise (exponential distribution, 2 %).
    leakage: beside > 4 * outerNoise ? beside - outerNoise : 0,
    method: 10 ** ((slownessDb * order) / (sweep.rateS * hz) / 10) - 1,
  };
}
