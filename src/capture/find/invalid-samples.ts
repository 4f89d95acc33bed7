import type { Doubt } from "../../doubt.js";
import type { SampleReader } from "../containers/sample-reader.js";
import type { RecordingInfo } from "../types.js";

/** A range of a channel with invalid samples, which were read as 0. */
export interface InvalidSpan {
  /** Sample frame of the capture at or before the first of them. */
  readonly from: number;
  /** Sample frame after the last of them. */
  readonly until: number;
  /** Number of invalid samples. */
  readonly count: number;
}

/** Resolution of positions, frames: close enough to find by ear. */
const pieceFrames = 1024;
/** Seconds; ranges closer than this are merged. */
const togetherS = 1;

const piece = new Float64Array(pieceFrames);

/**
 * Finds the invalid samples of a channel. Meant for ranges known to have some, by `badSamples` of
 * the reader.
 *
 * @param from first sample frame
 *
 * @param until sample frame after the last
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * findInvalidSpans(reader, 0, 0, reader.frames); // []
 * reader.close();
 */
export function findInvalidSpans(
  reader: SampleReader,
  channel: number,
  from: number,
  until: number,
): readonly InvalidSpan[] {
  const found: InvalidSpan[] = [];
  for (let at = from; at < until; at += pieceFrames) {
    const end = Math.min(until, at + pieceFrames);
    const before = reader.badSamples;
    reader.read(at, end - at, channel, piece);
    const count = reader.badSamples - before;
    if (count > 0) found.push({ from: at, until: end, count });
  }
  return mergeInvalidSpans(found, reader.info.sampleRate);
}

/**
 * Merges ranges close to each other, from any number of channels.
 *
 * @example
 * const span = (from, until) => ({ from, until, count: until - from });
 *
 * mergeInvalidSpans([span(100, 110), span(0, 10)], 48_000); // [{ from: 0, until: 110, count: 20 }]
 */
export function mergeInvalidSpans(
  stretches: readonly InvalidSpan[],
  sampleRate: number,
): readonly InvalidSpan[] {
  const joined: InvalidSpan[] = [];
  for (const one of [...stretches].sort((a, b) => a.from - b.from)) {
    const last = joined.at(-1);
    if (last === undefined || one.from - last.until > togetherS * sampleRate) joined.push(one);
    else {
      const until = Math.max(last.until, one.until);
      joined[joined.length - 1] = { from: last.from, until, count: last.count + one.count };
    }
  }
  return joined;
}

/**
 * Total number of invalid samples.
 *
 * @example
 * const span = (from, until) => ({ from, until, count: until - from });
 * countInvalid([span(0, 10), span(100, 105)]); // 15
 */
export function countInvalid(stretches: readonly InvalidSpan[]): number {
  return stretches.reduce((sum, { count }) => sum + count, 0);
}

/**
 * Whether some of them lie between two sample frames.
 *
 * @example
 * const span = (from, until) => ({ from, until, count: until - from });
 *
 * isInvalidWithin([span(100, 110)], 105, 200); // true
 * isInvalidWithin([span(100, 110)], 110, 200); // false
 */
export function isInvalidWithin(
  stretches: readonly InvalidSpan[],
  from: number,
  until: number,
): boolean {
  return stretches.some((one) => one.from < until && one.until > from);
}

/**
 * Doubts about the samples of a capture.
 *
 * @param channels ranges of invalid samples, by channel
 *
 * @param isAltered whether the samples do not match the file's own checksum
 *
 * @returns one doubt, or none if all samples are valid
 * @example
 * const info = { file: "a.wav", sampleRate: 48_000, channels: 1 };
 * listSampleDoubts(info, [[]], undefined); // []
 * listSampleDoubts(info, [[]], true); // [{ code: "samples-altered", file: "a.wav" }]
 */
export function listSampleDoubts(
  info: RecordingInfo,
  channels: readonly (readonly InvalidSpan[])[],
  isAltered: true | undefined,
): readonly Doubt[] {
  const invalid = listInvalidDoubts(info, channels);
  // Invalid samples explain a wrong checksum.
  if (invalid.length > 0 || !isAltered) return invalid;
  return [{ code: "samples-altered", file: info.file }];
}

/** Doubt with the number and positions of invalid samples. */
function listInvalidDoubts(
  { file, sampleRate, channels: count, isCompressed }: RecordingInfo,
  channels: readonly (readonly InvalidSpan[])[],
): readonly Doubt[] {
  const all = mergeInvalidSpans(channels.flat(), sampleRate);
  if (all.length === 0) return [];
  const concerned = channels.flatMap((own, channel) => (own.length > 0 ? [channel] : []));
  const fromS = Math.floor((10 * all[0].from) / sampleRate) / 10;
  const untilS = Math.ceil((10 * all[all.length - 1].until) / sampleRate) / 10;
  const where = { fromS, untilS, places: all.length };
  if (isCompressed) {
    const frames = countInvalid(mergeInvalidSpans(channels[concerned[0]], sampleRate));
    return [{ code: "damaged-frames", file, frames, ...where }];
  }
  const whose = count > 1 && concerned.length === 1 ? { channel: concerned[0] } : {};
  return [{ code: "invalid-samples", file, count: countInvalid(all), ...whose, ...where }];
}
