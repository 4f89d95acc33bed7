import type { SampleReader } from "./containers/sample-reader.js";
import type { SignalReturn } from "./types.js";

/** The samples of one return, cut out of its capture. */
export interface ReturnSamples {
  /** Full scale ±1. */
  readonly samples: Float64Array;
  /** Index at which the signal's first sample falls, fractional; may be slightly negative. */
  readonly origin: number;
  /** Hz: capture samples per second of the playing clock. */
  readonly clock: number;
  readonly sampleRate: number;
}

/**
 * Reads one return into memory.
 *
 * @param reader its capture
 * @param found its position
 *
 * @param room buffer for its samples, if they fit; valid until its next use
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * const [found] = findReturns(reader).returns;
 * sliceReturn(reader, found).sampleRate; // 44100
 * reader.close();
 */
export function sliceReturn(
  reader: SampleReader,
  found: SignalReturn,
  room: Float64Array = new Float64Array(0),
): ReturnSamples {
  const { frames, info } = reader;
  const { sampleRate } = info;
  const from = Math.max(0, Math.floor(found.startSample));
  const until = Math.min(frames, Math.ceil(found.startSample + found.lengthSamples));
  const length = Math.max(0, until - from);
  const samples = room.length < length ? new Float64Array(length) : room.subarray(0, length);
  reader.read(from, samples.length, found.channel, samples);
  return {
    samples,
    origin: found.startSample - from,
    clock: sampleRate * (1 + found.driftPpm * 1e-6),
    sampleRate,
  };
}
