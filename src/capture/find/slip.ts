import { findPhaseJumps, trackPhase, wrapPhase } from "../../dsp/phase-track.js";
import { fitTone } from "../../dsp/sine-fit.js";
import { synthesise } from "../../signal/synthesise.js";
import type { SignalTable } from "../../signal/types.js";
import type { SampleReader } from "../containers/sample-reader.js";
import { sliceReturn } from "../slice-return.js";
import type { SignalReturn } from "../types.js";

/** Samples that the recorder lost or repeated within a return, and where. */
export interface Slip {
  /** Too many, or too few when negative. */
  readonly samples: number;
  /** Seconds of the signal between which it happened; undefined if unknown. */
  readonly betweenS?: readonly [number, number];
  /**
   * Set if nothing was lost or repeated but the whole return runs at another speed: how much longer
   * it is than the sent signal, parts per million.
   */
  readonly longerPpm?: number;
}

/** Blocks that are correlated with the sent signal, seconds. */
const windowS = 0.04;
/** From one to the next, seconds. */
const hopS = 0.01;
/** The start of the return is known to this many samples at 48 kHz. */
const slackAt48k = 2;
/** Left out at the 1 kHz tone's beginning and end, seconds. */
const settleS = 0.03;
/** Radians; a phase jump is due to the slip if both agree within this. */
const sameRad = 0.3;
/** The sent signal must be this strong in a block for it to count, r.m.s. of full scale 1. */
const leastSent = 1e-3;
/** A block is before or after the slip if its two correlations differ by this. */
const leastDifference = 0.25;
/** A clock cannot be further off than this. */
const mostClockPpm = 400;
/** Tone and markers agree within this if the speed is constant. */
const alikePpm = 50;
/** Clocks from the two halves of a tone agree within this. */
const sameClockPpm = 10;
/** Factor by which a jump raises a half's residual. */
const muchBetter = 4;
/** A tone further off than this is not the one that was sent. */
const mostSpeedPpm = 2500;

/**
 * Finds when the recorder lost or repeated samples in a return whose markers are too far apart, or
 * too near, for a clock. Before that moment the return is at its original position, after it the
 * whole slip away: every block is correlated with the sent signal at both positions, and the moment
 * that separates them best is taken.
 *
 * @param reader the capture
 * @param found a return with `slipSamples`, located by its start marker
 * @param table the signal's segments
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const [found] = findReturns(reader).returns;
 * computeSlip(reader, found, buildReturnTable(found)).samples; // 0
 * reader.close();
 */
export function computeSlip(reader: SampleReader, found: SignalReturn, table: SignalTable): Slip {
  const { sampleRate } = reader.info;
  const all = found.slipSamples ?? 0;
  const lengthSamples = found.lengthSamples + Math.max(0, all) + 2 * windowS * sampleRate;
  const { samples, origin } = sliceReturn(reader, { ...found, lengthSamples });
  const ppm = clockPpm(samples, origin, sampleRate, table);
  const [start, end] = table.segments.filter(({ kind }) => kind === "marker");
  // The rest of the difference in marker spacing is due to the clock.
  const slip = Math.round(all - ppm * 1e-6 * (end.startS - start.startS) * sampleRate);
  if (Math.abs(ppm) > mostClockPpm) {
    const apartPpm = (1e6 * slip) / ((end.startS - start.startS) * sampleRate);
    return Math.abs(apartPpm) < alikePpm ? { samples: 0, longerPpm: ppm } : { samples: all };
  }
  const sent = synthesise(table, sampleRate);
  const clock = 1 + ppm * 1e-6;
  const length = Math.round(windowS * sampleRate);
  const slack = Math.ceil((slackAt48k * sampleRate) / 48_000);

  const times: number[] = [];
  const differences: number[] = [];
  for (let atS = start.startS; atS + windowS <= table.lengthS; atS += hopS) {
    const from = Math.round(atS * sampleRate);
    if (energy(sent, from, length) < length * leastSent ** 2) continue;
    const here = Math.round(origin + from * clock);
    const before = likeness(samples, here, sent, from, length, slack);
    const after = likeness(samples, here + slip, sent, from, length, slack);
    times.push(atS + windowS / 2);
    differences.push(before - after);
  }
  const parting = bestParting(differences);
  // Blocks that match both, or neither, leave the moment open between those that match one.
  const last = differences.findLastIndex((d, k) => k < parting && d >= leastDifference);
  const next = differences.findIndex((d, k) => k >= parting && d <= -leastDifference);
  if (last < 0 || next < 0) return { samples: slip };
  const betweenS = [times[last], times[next]] as const;
  const inTone = jumpInTone(samples, origin, sampleRate * clock, table, slip);
  const isNearer = inTone !== undefined && betweenS[0] < inTone[1] && betweenS[1] > inTone[0];
  return { samples: slip, betweenS: isNearer ? inTone : betweenS };
}

/**
 * The two moments between which the phase of the 1 kHz tone jumps as much as the slip would make
 * it.
 */
function jumpInTone(
  samples: Float64Array,
  origin: number,
  rate: number,
  { segments }: SignalTable,
  slip: number,
): readonly [number, number] | undefined {
  const tone = segments.find((s) => s.kind === "tone" && s.frequencyHz === 1000);
  if (tone?.kind !== "tone") return undefined;
  const from = Math.round(origin + (tone.startS + settleS) * rate);
  const until = Math.round(origin + (tone.startS + tone.lengthS - settleS) * rate);
  if (from < 0 || until > samples.length) return undefined;
  const radPerSample = (2 * Math.PI * tone.frequencyHz) / rate;
  const step = Math.round(hopS * rate);
  const track = trackPhase(samples.subarray(from, until), tone.frequencyHz / rate, step);
  const { jumps } = findPhaseJumps(track, radPerSample);
  if (jumps.length !== 1) return undefined;
  const [{ at, radians }] = jumps;
  if (Math.abs(wrapPhase(radians + slip * radPerSample)) > sameRad) return undefined;
  const atS = (from + at - origin) / rate;
  return [atS - hopS, atS + hopS];
}

/**
 * Clock or speed difference by the 1 kHz tone; 0 if unknown. The jump may be within the tone, where
 * it shifts the phase and would look like another clock: its halves are fitted separately, and if
 * they disagree, the one with the far smaller residual counts.
 */
function clockPpm(
  samples: Float64Array,
  origin: number,
  sampleRate: number,
  { segments }: SignalTable,
): number {
  const tone = segments.find((s) => s.kind === "tone" && s.frequencyHz === 1000);
  if (tone?.kind !== "tone") return 0;
  const inset = tone.lengthS / 16;
  const [from, middle, until] = [inset, tone.lengthS / 2, tone.lengthS - inset].map((s) =>
    Math.round(origin + (tone.startS + s) * sampleRate),
  );
  if (from < 0 || until > samples.length) return 0;
  const sent = tone.frequencyHz / sampleRate;
  const halves = [samples.subarray(from, middle), samples.subarray(middle, until)].map((half) => {
    const { frequency, residual } = fitTone(half, sent, 1);
    return { ppm: 1e6 * (sent / frequency - 1), left: energy(residual, 0, residual.length) };
  });
  const [steady, other] = halves.sort((a, b) => a.left - b.left);
  const isOne = Math.abs(steady.ppm - other.ppm) < sameClockPpm;
  if (!isOne && steady.left * muchBetter > other.left) return 0;
  // Not one fit over both: a jump exactly between them affects neither.
  const ppm = isOne ? (steady.ppm + other.ppm) / 2 : steady.ppm;
  return Math.abs(ppm) <= mostSpeedPpm ? ppm : 0;
}

function energy(samples: Float64Array, from: number, length: number): number {
  let sum = 0;
  for (let n = Math.max(0, from); n < Math.min(samples.length, from + length); n++) {
    sum += samples[n] * samples[n];
  }
  return sum;
}

/** Largest magnitude of the normalised correlation near a position, 0 to 1. */
function likeness(
  heard: Float64Array,
  at: number,
  sent: Float64Array,
  from: number,
  length: number,
  slack: number,
): number {
  let most = 0;
  const sentEnergy = energy(sent, from, length);
  for (let off = -slack; off <= slack; off++) {
    const first = at + off;
    if (first < 0 || first + length > heard.length || from + length > sent.length) continue;
    let product = 0;
    for (let n = 0; n < length; n++) product += heard[first + n] * sent[from + n];
    const both = sentEnergy * energy(heard, first, length);
    if (both > 0) most = Math.max(most, Math.abs(product) / Math.sqrt(both));
  }
  return most;
}

/** Number of differences before the moment that best separates high from low ones. */
function bestParting(differences: readonly number[]): number {
  let sum = -differences.reduce((all, d) => all + d, 0);
  let best = sum;
  let parting = 0;
  differences.forEach((d, k) => {
    sum += 2 * d;
    if (sum > best) {
      best = sum;
      parting = k + 1;
    }
  });
  return parting;
}
