import {
  type Gate,
  type GatedSpectrum,
  gateAt,
  type ImpulseResponse,
  spectrumAt,
} from "../dsp/deconvolution.js";
import { densityAround } from "../dsp/welch.js";
import type { SweepSegment } from "../signal/table.js";
import type { HarmonicGates, SweepAnswer } from "./sweep-answer.js";

/** One harmonic at one frequency of the fundamental, as ratios to what was sent. */
export interface HarmonicPoint {
  /** |H|² as heard, noise included. */
  readonly power: number;
  /** Mean of the noise's |H|². */
  readonly noise: number;
  /** |H|² that the neighbours' responses may have put there. */
  readonly leakage: number;
  /** Expanded uncertainty of the method, as a share of the power. */
  readonly method: number;
}

export const highestOrder = 10;

/**
 * Share of the way to the next response that a gate takes. The harmonics' responses begin at
 * −L·ln n and ring on towards later times, so a gate reaches further on that side.
 */
const towardsEarlier = 0.5;
const towardsLater = 0.85;
/** Share of the gate that lies inside its narrower twin, against which it is held. */
const narrower = 0.6;
/**
 * Above these frequencies of the fundamental a response is over soon and a shorter gate lets less
 * noise in.
 */
const zones = [
  { toHz: 200, mostAfterS: Number.POSITIVE_INFINITY },
  { toHz: 1500, mostAfterS: 0.05 },
  { toHz: Number.POSITIVE_INFINITY, mostAfterS: 0.02 },
] as const;

/**
 * Gates the responses of harmonics 2 to 10 out of a sweep's answer: harmonic n stands at −L·ln n
 * (A. Novak, P. Lotton, L. Simon, "Synchronized Swept-Sine: Theory, Application, and
 * Implementation", J. Audio Eng. Soc. 63(10), 2015, eq. 38).
 */
export function harmonicGates(
  sweep: SweepSegment,
  response: ImpulseResponse,
): readonly HarmonicGates[] {
  const gates: HarmonicGates[] = [];
  for (let order = 2; order <= highestOrder; order++) {
    const centreS = -sweep.rateS * Math.log(order);
    gates.push({
      order,
      zones: zones.map(({ toHz, mostAfterS }) => {
        const wide = gateOf(sweep.rateS, order, mostAfterS, 1);
        const narrow = gateOf(sweep.rateS, order, mostAfterS, narrower);
        return {
          toHz,
          within: gateAt(response, centreS, wide),
          outer: gateAt(response, centreS, wide, narrow),
        };
      }),
    });
  }
  return gates;
}

function gateOf(rateS: number, order: number, mostAfterS: number, share: number): Gate {
  const earlierS = rateS * Math.log((order + 1) / order);
  const laterS = rateS * Math.log(order / (order - 1));
  const beforeS = share * Math.min(towardsEarlier * earlierS, mostAfterS / 2);
  const afterS = share * Math.min(towardsLater * laterS, mostAfterS);
  return { beforeS, fadeInS: 0.9 * beforeS, afterS, fadeOutS: 0.6 * afterS };
}

/**
 * Lowest fundamental at which the harmonics of a sweep stand apart: five turns of it must fit into
 * the time in which the sweep passes a factor e of frequency. 25 Hz for the quick signal.
 */
export function lowestSeparableHz(sweep: SweepSegment): number {
  return 5 / sweep.rateS;
}

/**
 * A filter before the bend delays each frequency a little differently, which shows in harmonic n as
 * if the sweep were read beside its place. Seen on first-order high-passes in closed form: at
 * most this many decibels times n/(L·f), L·f being how slow the sweep is at f.
 */
const slownessDb = 0.4;

/**
 * Reads one harmonic at one frequency of the fundamental.
 *
 * @param answer the sweep's answer
 * @param gates of the harmonic
 * @param hz frequency of the fundamental; `order` times it must lie in the sweep's band
 */
export function harmonicAt(answer: SweepAnswer, gates: HarmonicGates, hz: number): HarmonicPoint {
  const { order } = gates;
  const zone = gates.zones.find((z) => hz <= z.toHz) ?? gates.zones[gates.zones.length - 1];
  const atHz = order * hz;
  const shape = answer.shaping(atHz);
  const shaped = shape.re ** 2 + shape.im ** 2;
  const squared = (gated: GatedSpectrum) => {
    const { re, im } = spectrumAt(gated, atHz);
    return (re * re + im * im) / shaped;
  };
  const { reference, noise } = answer;
  const sent = reference.power[Math.round((atHz * reference.size) / reference.sampleRate)];
  const density = noise ? densityAround(noise, atHz, Math.max(8, atHz / 12)) : 0;
  const perSample = (density * (reference.sampleRate / 2)) / sent;
  const outerNoise = perSample * zone.outer.noiseSamples;
  const beside = squared(zone.outer);
  return {
    power: squared(zone.within),
    noise: perSample * zone.within.noiseSamples,
    // Up to there it is the noise's own chance (exponential distribution, 2 %).
    leakage: beside > 4 * outerNoise ? beside - outerNoise : 0,
    method: 10 ** ((slownessDb * order) / (answer.sweep.rateS * hz) / 10) - 1,
  };
}
