import type { Doubt } from "../../doubt.js";
import type { SampleReader } from "../containers/sample-reader.js";
import type { RecordingInfo } from "../types.js";

/** A stretch of a channel with samples that no converter gives, and were handed out as silence. */
export interface InvalidSpan {
  /** Sample frame of the capture at or before the first of them. */
  readonly from: number;
  /** Sample frame behind the last of them. */
  readonly until: number;
  /** How many there are. */
  readonly count: number;
}

/** Positions are given to this many frames: near enough to be found by ear. */
const pieceFrames = 1024;
/** Stretches nearer to each other than this are one. */
const togetherS = 1;

const piece = new Float64Array(pieceFrames);

/**
 * Finds the samples of a channel that no converter gives. Meant for stretches that are known to hold
 * some, by `badSamples` of the reader.
 *
 * @param from first sample frame
 * @param until sample frame behind the last
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
 * Joins stretches that lie near each other, of any number of channels.
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
 * How many samples there are in all.
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
 * What has to be said about the samples of a capture.
 * @param channels the stretches of each channel with samples that are NaN or infinite
 * @param isAltered whether they are not those that the file's own checksum was made of
 * @returns one doubt, none where all samples are some
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
  // Samples that were lost are reason enough.
  if (invalid.length > 0 || !isAltered) return invalid;
  return [{ code: "samples-altered", file: info.file }];
}

/** How many samples of a capture are not numbers, and where. */
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
