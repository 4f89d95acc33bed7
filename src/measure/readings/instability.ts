import { dbPerNeper } from "../../dsp/decibels.js";
import { median } from "../../dsp/robust.js";
import { computeDensityAround } from "../../dsp/welch.js";
import { isAbsent } from "../absence.js";
import { computeHiddenMainsVariance, computeMainsVariance } from "../line-noise.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import type { ReturnAudio } from "../return-audio.js";
import { mainsLines, type SilenceAnalysis } from "../silence-analysis.js";
import type { ToneAnalysis } from "../tone.js";
import type { Reading } from "../types.js";

/** How a tone's envelope is taken. */
interface Envelope {
  /** Length of a piece, seconds: whole periods of the tone. */
  readonly pieceS: number;
  /** The noise is taken beside the tone, beyond the pieces' own band: offsets from it, hertz. */
  readonly noiseFromHz: number;
  readonly noiseToHz: number;
}

const at1k: Envelope = { pieceS: 0.02, noiseFromHz: 60, noiseToHz: 260 };
/** Nearer, as noise rises towards low frequency. */
const at100: Envelope = { pieceS: 0.05, noiseFromHz: 25, noiseToHz: 90 };

/** A fluctuation this many deviations above zero is an estimate, below it a bound. */
const clear = 3;
/** How well the noise beside the tone is that beneath it: a twentieth. */
const noiseDoubt = 0.05;
/** A piece that is as good as gone counts as this share of the tone: −60 dB. */
const leastPiece = 1e-3;
/** Rounding of the fit and what a path of some hertz still settles, decibels at 95 %. */
const methodDb = 2e-5;

/**
 * Level fluctuation of a steady tone, decibels r.m.s. about their mean: its envelope in pieces, the
 * fluctuation that noise alone gives taken off; common practice.
 */
function instabilityKind<Id extends string>(
  facets: Pick<ReadingFacets<Id>, "id" | "name" | "definition" | "role" | "evidence">,
  segment: "tone-1k" | "tone-100",
  envelope: Envelope,
): ReadingKind<Id> {
  return {
    unit: "dB",
    source: "common practice",
    segment,
    aspect: "steadiness",
    harm: "up",
    least: 0.05,
    share: "shift",
    priorScatter: "unknown",
    underHum: [-1, 10],
    ...facets,
    read(context) {
      const tone = context.tone(segment);
      if (isAbsent(tone)) return tone;
      const quiet = context.quiet();
      const { pieceS, noiseToHz } = envelope;
      // What wavers fast stands beside the tone too; there is no more noise than without the tone.
      const quietest = isAbsent(quiet)
        ? Number.POSITIVE_INFINITY
        : computeDensityAround(quiet.spectrum, tone.frequencyHz, 2 * noiseToHz);
      return fluctuation(
        tone,
        context.audio.clock,
        envelope,
        isAbsent(quiet) ? 0 : mainsVariance(quiet, context.audio, tone.frequencyHz, pieceS),
        Math.min(noiseBeside(tone, envelope), quietest),
      );
    },
  };
}

/** Of the 1 kHz tone. */
export const instability = instabilityKind(
  {
    id: "instability",
    name: "level instability",
    definition: "fluctuation of the 1 kHz tone's level, r.m.s., in pieces of 20 ms",
    role: "fluctuation",
    evidence: { group: "instability", order: 160 },
  },
  "tone-1k",
  at1k,
);

/** The same of the 100 Hz tone: a contact opens when it does. */
export const instability100 = instabilityKind(
  {
    id: "instability100",
    name: "level instability at 100 Hz",
    definition: "fluctuation of the 100 Hz tone's level, r.m.s., in pieces of 50 ms",
    evidence: { group: "instability100", order: 161 },
  },
  "tone-100",
  at100,
);

/** Variance that lines of the mains, seen or hidden, put on the amplitude of a piece. */
function mainsVariance(
  { lines, hidden }: SilenceAnalysis,
  { mainsHz }: ReturnAudio,
  hz: number,
  pieceS: number,
) {
  if (lines || !hidden) return computeMainsVariance(lines, hz, pieceS);
  return computeHiddenMainsVariance(hidden, mainsHz, mainsLines, hz, pieceS);
}

/**
 * @param mains variance that lines of the mains may put on the amplitude of a piece
 * @param density of the noise beneath the tone
 */
function fluctuation(
  tone: ToneAnalysis,
  clock: number,
  { pieceS }: Envelope,
  mains: number,
  density: number,
): Reading {
  const pieces = piecesOf(tone, clock, pieceS);
  const amplitude = tone.amplitudes[0];
  // In nepers, so that a dip counts as the decibels that it is.
  const nepers = pieces.map((x) => Math.log(Math.max(leastPiece, 1 + x)));
  const mean = nepers.reduce((sum, y) => sum + y, 0) / nepers.length;
  const squares = nepers.reduce((sum, y) => sum + (y - mean) ** 2, 0) / (nepers.length - 1);
  // Variance of an amplitude fitted over one piece in noise of density S: S/T.
  const noise = density / pieceS / amplitude ** 2;
  // Strong hum reaches a piece by its side lobes; how far it wavers from piece to piece, is not known.
  const hum = mains / amplitude ** 2;
  const power = squares - noise;
  const freedom = pieces.length - 1;
  const spread = (own: number) =>
    Math.sqrt((4 * own * noise + 2 * noise ** 2) / freedom + (noiseDoubt * noise) ** 2 + hum ** 2);
  const deviation = spread(Math.max(0, power));
  if (power > clear * deviation) {
    const value = dbPerNeper * Math.sqrt(power);
    // While the level moves, a piece of some periods keeps a little of the doubled frequency, each
    // with a phase of its own.
    const kept = 1 / (4 * Math.PI * tone.frequencyHz * pieceS);
    const doubled = value * kept * Math.sqrt(2 / pieces.length);
    return {
      value,
      unit: "dB",
      uncertainty: Math.hypot(methodDb, (value * deviation) / power, doubled),
    };
  }
  const bound = Math.max(methodDb, dbPerNeper * Math.sqrt(Math.max(0, power) + 2 * deviation));
  return { value: bound, unit: "dB", uncertainty: bound / 2, limitedBy: "noise", bound: "upper" };
}

/** Relative deviation of the tone's amplitude, piece by piece. */
function piecesOf(
  { residual, frequencyHz, amplitudes, phases }: ToneAnalysis,
  clock: number,
  pieceS: number,
) {
  const size = Math.round(pieceS * clock);
  const middle = (residual.length - 1) / 2;
  const omega = (2 * Math.PI * frequencyHz) / clock;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  const pieces: number[] = [];
  for (let from = 0; from + size <= residual.length; from += size) {
    let c = Math.cos(omega * (from - middle) + phases[0]);
    let s = Math.sin(omega * (from - middle) + phases[0]);
    let sum = 0;
    for (let n = from; n < from + size; n++) {
      sum += residual[n] * c;
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    pieces.push((2 * sum) / (size * amplitudes[0]));
  }
  return pieces;
}

/** Median density beside the tone, so that mains lines do not count, brought to the mean. */
function noiseBeside(
  { rest, frequencyHz }: ToneAnalysis,
  { noiseFromHz, noiseToHz }: Envelope,
): number {
  const { density, stepHz, segments } = rest;
  const beside: number[] = [];
  density.forEach((power, k) => {
    const away = Math.abs(k * stepHz - frequencyHz);
    if (away >= noiseFromHz && away <= noiseToHz) beside.push(power);
  });
  return median(beside) / (1 - 1 / (3 * segments));
}
