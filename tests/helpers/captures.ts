import type { SampleReader } from "../../src/capture/containers/sample-reader.js";
import type { RecordingInfo } from "../../src/capture/types.js";
import { renderSegment } from "../../src/signal/synthesise.js";
import type { SignalTable } from "../../src/signal/types.js";
import { gaussian } from "./noise.js";
import { makeSamples } from "./samples.js";

/** A capture held in memory, read as a file would be. */
export function memoryReader(
  channels: readonly Float64Array[],
  sampleRate: number,
  file = "memory.wav",
): SampleReader {
  const info: RecordingInfo = {
    file,
    container: "WAV",
    sampleFormat: "float",
    bits: 64,
    channels: channels.length,
    sampleRate,
    frames: channels[0].length,
    dataOffset: 0,
    cues: [],
    doubts: [],
  };
  return {
    info,
    frames: info.frames,
    badSamples: 0,
    read(first, count, channel, out) {
      const part = channels[channel].subarray(first, first + count);
      out.set(part);
      return part.length;
    },
    close() {},
  };
}

/** Signals and noises that were made of late, the latest last: tests ask for the same again. */
const kept = new Map<string, Float64Array>();
/** 64 MB, and longer ones are not worth it. */
const mostSamples = 8_000_000;
let keptSamples = 0;

function keep(key: string, make: () => Float64Array, least = 0): Float64Array {
  const known = kept.get(key);
  const enough = known !== undefined && known.length >= least;
  const samples = enough ? known : make();
  if (known !== undefined) {
    kept.delete(key);
    keptSamples -= known.length;
  }
  if (samples.length > mostSamples / 4) return samples;
  kept.set(key, samples);
  keptSamples += samples.length;
  for (const [old, { length }] of kept) {
    if (keptSamples <= mostSamples) break;
    kept.delete(old);
    keptSamples -= length;
  }
  return samples;
}

/**
 * Adds a return to a capture: the signal evaluated at the exact times of a drifted clock, so
 * that the truth needs no resampler.
 *
 * @param at sample frame of the signal's first sample, fractional
 * @param driftPpm capture clock against playing clock
 */
export function addReturn(
  out: Float64Array,
  table: SignalTable,
  sampleRate: number,
  at: number,
  driftPpm = 0,
  gain = 1,
): void {
  const clock = sampleRate * (1 + driftPpm * 1e-6);
  const first = Math.max(0, Math.floor(at));
  const last = Math.min(out.length, Math.ceil(at + table.lengthS * clock) + 1);
  const key = JSON.stringify([table, clock, first - at, last - first]);
  const part = keep(key, () => {
    const made = new Float64Array(last - first);
    for (const segment of table.segments) {
      renderSegment(segment, (first - at) / clock - segment.startS, 1 / clock, made);
    }
    return made;
  });
  for (let i = 0; i < part.length; i++) out[first + i] += gain * part[i];
}

/** White noise of an r.m.s. value. */
export function addNoise(out: Float64Array, rms: number, seed: number): void {
  const noise = keep(`noise ${seed}`, () => makeSamples(out.length, gaussian(seed)), out.length);
  for (let i = 0; i < out.length; i++) out[i] += rms * noise[i];
}

/** R.m.s. of a sine at a level in dBFS (a full-scale sine is 0 dBFS, AES17). */
export function sineRms(levelDbfs: number): number {
  return Math.SQRT1_2 * 10 ** (levelDbfs / 20);
}
