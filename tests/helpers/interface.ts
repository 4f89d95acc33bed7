import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import type { Segment, SignalTable } from "../../src/signal/types.js";
import { throughFilter } from "./analogue.js";
import { addReturn } from "./captures.js";
import { gaussian } from "./noise.js";

/**
 * An audio interface in closed form: two scales, one response, white noise at both ends. Nothing of
 * it is shared with the product or with src/simulate.
 */
export interface SyntheticInterface {
  /** R.m.s. volts of a full-scale sine at the output and at the input. */
  readonly outputVolts: number;
  readonly inputVolts: number;
  /** Complex response of the input. */
  readonly response?: (hz: number) => readonly [number, number];
  /** R.m.s. volts of its noise up to half the sample rate, at the output and at the input. */
  readonly outputNoise: number;
  readonly inputNoise: number;
}

/** A flat path between the two: voltage gain, and noise at its output. */
export interface SyntheticPath {
  readonly gain: number;
  readonly response?: (hz: number) => readonly [number, number];
  /** R.m.s. volts up to half the sample rate, white. */
  readonly noise: number;
}

/** Output patched into input. */
export const loop: SyntheticPath = { gain: 1, noise: 0 };

export const rate = 48_000;
const origin = 480.3;

/** Segments of the quick signal alone, so that hundreds of runs take seconds. */
export function shortTable(...names: readonly string[]): SignalTable {
  const quick = buildSignalTable("quick", "base");
  const segments: Segment[] = [];
  let at = 0;
  for (const segment of quick.segments) {
    if (!names.includes(segment.name)) continue;
    segments.push({ ...segment, startS: at } as Segment);
    at += segment.lengthS;
  }
  return { ...quick, segments, lengthS: at };
}

/**
 * A prepared recording: the signal through path and interface, to which noise is added anew for
 * each take.
 */
export function recorder(
  table: SignalTable,
  device: SyntheticInterface,
  path: SyntheticPath,
): (seed: number, level?: number) => ReturnAudio {
  let clean = rendered(table);
  if (path.response) clean = throughFilter(clean, rate, path.response);
  if (device.response) clean = throughFilter(clean, rate, device.response);
  const scale = (device.outputVolts / device.inputVolts) * path.gain;
  const heard = Math.hypot(device.outputNoise * path.gain, path.noise, device.inputNoise);
  const sigma = heard / (Math.SQRT2 * device.inputVolts);
  return (seed, level = 1) => {
    const next = gaussian(seed);
    const samples = new Float64Array(clean.length);
    for (let i = 0; i < samples.length; i++) {
      samples[i] = level * scale * clean[i] + sigma * next();
    }
    return { samples, origin, clock: rate, sampleRate: rate, table, mainsHz: 50 };
  };
}

const renderings = new Map<SignalTable, Float64Array>();

/** The signal as it is played, kept for all recorders that play it. */
function rendered(table: SignalTable): Float64Array {
  const kept = renderings.get(table);
  if (kept) return kept;
  const samples = new Float64Array(Math.round((table.lengthS + 0.05) * rate));
  addReturn(samples, table, rate, origin);
  renderings.set(table, samples);
  return samples;
}

/** Level of a voltage, dBu: 0 dBu is √0.6 V (IEC 60268-17). */
export function dbu(volts: number): number {
  return 20 * Math.log10(volts / Math.sqrt(0.6));
}

/** Part of white noise up to half the sample rate that lies in 22.4 Hz to 22.4 kHz, as a power. */
export const inNoiseBand = (22_400 - 22.4) / (rate / 2);

/** The same for 20 Hz to 20 kHz. */
export const inDataSheetBand = (20_000 - 20) / (rate / 2);
