import type { OwnKind } from "../assert-own-file.js";
import { createDitherSource, encodeSamples, type SignalFormat } from "./encode.js";
import { readOriginator, toneOriginator } from "./own-files.js";
import { encodeToneHeader } from "./signal-wav.js";
import { renderSegment } from "./synthesise.js";
import type { ToneSegment } from "./types.js";

/** A steady tone for tracing a signal through a desk. */
export interface ToneRequest {
  readonly frequencyHz: number;
  /** A full-scale sine is 0 (AES17). */
  readonly levelDbfs: number;
  readonly lengthS: number;
  readonly sampleRate: number;
  readonly format: SignalFormat;
}

/** Files of a steady tone. */
export const toneKind: OwnKind = {
  what: "tone",
  isOwn: (head) => readOriginator(head) === toneOriginator,
};

/** Samples made at a time. */
const block = 65_536;

/**
 * A steady sine as a one-channel WAV file, with raised-cosine flanks at both ends so that it does
 * not thump. It is yielded piece by piece, as half an hour would take too much memory.
 *
 * @returns pieces of the file in order; the same request gives the same bytes
 * @example
 * const [header] = encodeToneWav({ frequencyHz: 30, levelDbfs: -18, lengthS: 1, sampleRate: 48000,
 *   format: "int24" });
 * String.fromCharCode(...header.subarray(0, 4)); // "RIFF"
 */
export function* encodeToneWav(request: ToneRequest): Generator<Uint8Array> {
  const { frequencyHz, levelDbfs, lengthS, sampleRate, format } = request;
  const count = 2 * Math.round((lengthS * sampleRate) / 2);
  yield encodeToneHeader(request, count);
  const tone: ToneSegment = {
    kind: "tone",
    name: "tone",
    startS: 0,
    lengthS: count / sampleRate,
    frequencyHz,
    levelDbfs,
  };
  const random = createDitherSource();
  const samples = new Float64Array(block);
  for (let from = 0; from < count; from += block) {
    const some = samples.subarray(0, Math.min(block, count - from)).fill(0);
    renderSegment(tone, from / sampleRate, 1 / sampleRate, some);
    yield encodeSamples(some, format, random);
  }
}
