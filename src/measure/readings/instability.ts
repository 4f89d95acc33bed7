import { solveCholesky } from "../../dsp/cholesky.js";
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
  /** Length of a block, seconds: whole periods of the tone. */
  readonly pieceS: number;
  /** Offsets from the tone, hertz, at which the noise is taken, beyond the band of the blocks. */
  readonly noiseFromHz: number;
  readonly noiseToHz: number;
}

const at1k: Envelope = { pieceS: 0.02, noiseFromHz: 60, noiseToHz: 260 };
/** Closer, because noise rises towards low frequency. */
const at100: Envelope = { pieceS: 0.05, noiseFromHz: 25, noiseToHz: 90 };

/** Standard deviations above zero from which a fluctuation is an estimate, not a bound. */
const clear = 3;
/** Relative uncertainty of the noise under the tone, estimated beside it. */
const noiseDoubt = 0.05;
/** Lowest level of a block as a share of the tone: −60 dB. */
const leastPiece = 1e-3;
/** Rounding of the fit and what a path of some hertz still settles, decibels at 95 %. */
const methodDb = 2e-5;

/**
 * Level fluctuation of a steady tone, decibels r.m.s. about the mean: its envelope in blocks, minus
 * the fluctuation from noise alone; common practice.
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
      // Fast fluctuation also appears beside the tone, but the noise is no more than without the
      // tone.
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

/** Variance of a block's amplitude from mains lines, visible or hidden. */
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
 * @param mains variance of a block's amplitude from mains lines
 *
 * @param density of the noise under the tone
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
  const nepers = pieces.map(({ level }) => Math.log(Math.max(leastPiece, 1 + level)));
  const mean = nepers.reduce((sum, y) => sum + y, 0) / nepers.length;
  const squares = nepers.reduce((sum, y) => sum + (y - mean) ** 2, 0) / (nepers.length - 1);
  // Variance of an amplitude fitted over one block in noise of density S: S/T.
  const noise = density / pieceS / amplitude ** 2;
  // Strong hum reaches a block by its side lobes; its variation from block to block is not known.
  const hum = mains / amplitude ** 2;
  const power = squares - noise;
  const freedom = pieces.length - 1;
  const spread = (own: number) =>
    Math.sqrt((4 * own * noise + 2 * noise ** 2) / freedom + (noiseDoubt * noise) ** 2 + hum ** 2);
  const stdDev = spread(Math.max(0, power));
  if (power > clear * stdDev) {
    const value = dbPerNeper * Math.sqrt(power);
    const jumps = jumpsDeviation(pieces, nepers, mean, tone.frequencyHz * pieceS) / freedom;
    return {
      value,
      unit: "dB",
      uncertainty: Math.hypot(methodDb, (value * Math.hypot(stdDev, jumps)) / power),
    };
  }
  const bound = Math.max(methodDb, dbPerNeper * Math.sqrt(Math.max(0, power) + 2 * stdDev));
  return { value: bound, unit: "dB", uncertainty: bound / 2, limitedBy: "noise", bound: "upper" };
}

/** A block of the envelope, relative to the tone's amplitude. */
interface Piece {
  /** Deviation of its mean. */
  readonly level: number;
  /** Mean square residual of a straight line, noise included. */
  readonly misfit: number;
}

/**
 * Relative deviation of the tone's amplitude, block by block: in-phase part, its slope and
 * quadrature are fitted together, so that a changing level leaves no second-harmonic term in the
 * mean.
 */
function piecesOf(
  { residual, frequencyHz, amplitudes, phases }: ToneAnalysis,
  clock: number,
  pieceS: number,
): readonly Piece[] {
  const middle = (residual.length - 1) / 2;
  const omega = (2 * Math.PI * frequencyHz) / clock;
  const turnCos = Math.cos(omega);
  const turnSin = Math.sin(omega);
  const count = Math.floor(residual.length / (pieceS * clock));
  const gram = new Float64Array(9);
  const right = new Float64Array(3);
  const pieces: Piece[] = [];
  for (let k = 0; k < count; k++) {
    const from = Math.round(k * pieceS * clock);
    const to = Math.round((k + 1) * pieceS * clock);
    const centre = (from + to - 1) / 2;
    const half = (to - from) / 2;
    gram.fill(0);
    right.fill(0);
    let squares = 0;
    let c = Math.cos(omega * (from - middle) + phases[0]);
    let s = Math.sin(omega * (from - middle) + phases[0]);
    for (let n = from; n < to; n++) {
      const slope = ((n - centre) / half) * c;
      gram[0] += c * c;
      gram[3] += slope * c;
      gram[4] += slope * slope;
      gram[6] += s * c;
      gram[7] += s * slope;
      gram[8] += s * s;
      right[0] += residual[n] * c;
      right[1] += residual[n] * slope;
      right[2] += residual[n] * s;
      squares += residual[n] * residual[n];
      const turned = c * turnCos - s * turnSin;
      s = c * turnSin + s * turnCos;
      c = turned;
    }
    const given = right.slice();
    const inPhase = gram[0];
    solveCholesky(gram, right);
    const left = right.reduce((rest, x, i) => rest - x * given[i], squares);
    pieces.push({
      level: right[0] / amplitudes[0],
      misfit: Math.max(0, left) / inPhase / amplitudes[0] ** 2,
    });
  }
  return pieces;
}

/**
 * Mean square residual of a jump after fitting a straight line, relative to its squared height: u(1
 * − u) − 3u²(1 − u)², over u.
 */
const jumpMisfit = 1 / 15;
/** Ratio to the misfit of quiet blocks from which a block has more than noise. */
const misfitClear = 1.3;

/**
 * Standard deviation of Σ (y − mean)² caused by jumps within blocks. A jump is not a slope: at
 * twice the frequency it leaves its height over 2ωT, with any phase. Its height is estimated from
 * the residual of the block's straight line.
 *
 * @param cycles of the tone in a block
 */
function jumpsDeviation(
  pieces: readonly Piece[],
  nepers: readonly number[],
  mean: number,
  cycles: number,
): number {
  const misfits = pieces.map(({ misfit }) => misfit).sort((a, b) => a - b);
  const usual = misfitClear * misfits[misfits.length >> 2];
  const sum = pieces.reduce((all, { misfit }, k) => {
    const height = Math.max(0, misfit - usual) / jumpMisfit;
    return all + (nepers[k] - mean) ** 2 * height;
  }, 0);
  return (2 * Math.sqrt(sum)) / (4 * Math.PI * cycles);
}

/** Median density beside the tone, so that mains lines do not count, converted to a mean. */
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
