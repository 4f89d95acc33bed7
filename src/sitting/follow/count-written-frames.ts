import type { SampleReader } from "../../capture/containers/sample-reader.js";

/** Frames that are examined at a time. */
const blockFrames = 16_384;
/** A run of zeros this long may be space that the recorder reserved but has not filled, seconds. */
const leastUnwrittenS = 0.5;
/** How far to look for samples after such a run, seconds; a signal's silence is shorter. */
const aheadS = 30;

/**
 * How many frames of a recording have been written. Some recorders reserve disk space and fill it
 * later, so zeros up to the end may still become samples.
 *
 * @param from frames that are known to be written
 * @returns frames from the beginning, at least `from`
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 * countWrittenFrames(reader, 0) === reader.frames; // true
 * reader.close();
 */
export function countWrittenFrames(reader: SampleReader, from: number): number {
  const { frames, info } = reader;
  const least = Math.ceil(leastUnwrittenS * info.sampleRate);
  if (frames - from < least) return frames;
  // The usual case first: the newest samples are not zeros.
  if (!isZero(reader, frames - Math.min(blockFrames, frames - from), frames)) return frames;
  const until = Math.min(frames, from + Math.ceil(aheadS * info.sampleRate));
  let written = from;
  for (let at = from; at < until; at += blockFrames) {
    const end = Math.min(until, at + blockFrames);
    if (!isZero(reader, at, end)) written = end;
  }
  return written;
}

function isZero(reader: SampleReader, from: number, until: number): boolean {
  for (let channel = 0; channel < reader.info.channels; channel++) {
    const count = reader.read(from, until - from, channel, block);
    for (let i = 0; i < count; i++) if (block[i] !== 0) return false;
  }
  return true;
}

const block = new Float64Array(blockFrames);
