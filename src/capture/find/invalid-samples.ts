import { toDisplayName } from "../containers/open-file.js";
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

/** What to do about a recording with such samples. */
export const invalidAdvice =
  "The program or the disk that wrote them failed: record again, as integers if it recurs.";
/** The same where they are lost in what is compressed, and the recorder may still have them. */
const damagedAdvice =
  "Copy the file again from the recorder; if that one is damaged too, record again.";

/** Why a return with such samples is of no use; completes "1/mic: …". */
export const invalidReason =
  "some of its samples are no numbers, far beyond full scale, or lost in a damaged file: the program or the disk that wrote them failed; copy the file again, or record it again, as integers if it recurs";

/** Places are known to so many frames: near enough to be found by ear. */
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

/** Joins stretches that lie near each other, of any number of channels. */
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

export function countInvalid(stretches: readonly InvalidSpan[]): number {
  return stretches.reduce((sum, { count }) => sum + count, 0);
}

/** Whether some of them lie between two sample frames. */
export function isInvalidWithin(
  stretches: readonly InvalidSpan[],
  from: number,
  until: number,
): boolean {
  return stretches.some((one) => one.from < until && one.until > from);
}

/**
 * Says of a capture how many of its samples are none, and where.
 *
 * @param channels the stretches of each channel
 * @returns sentences for the user, none where all samples are some
 */
export function formatInvalidWarnings(
  { file, sampleRate, channels: count, isCompressed }: RecordingInfo,
  channels: readonly (readonly InvalidSpan[])[],
): readonly string[] {
  const all = mergeInvalidSpans(channels.flat(), sampleRate);
  if (all.length === 0) return [];
  const concerned = channels.flatMap((own, channel) => (own.length > 0 ? [channel] : []));
  const whose = count > 1 && concerned.length === 1 ? ` of channel ${concerned[0] + 1}` : "";
  const fromS = Math.floor((10 * all[0].from) / sampleRate) / 10;
  const untilS = Math.ceil((10 * all[all.length - 1].until) / sampleRate) / 10;
  const where = `between ${fromS.toFixed(1)} s and ${untilS.toFixed(1)} s`;
  const places = all.length > 1 ? `, in ${all.length} places,` : "";
  const bad = countInvalid(all);
  if (isCompressed) {
    const lost = countInvalid(mergeInvalidSpans(channels[concerned[0]], sampleRate));
    return [
      `${toDisplayName(file)}: ${lost} sample frames ${where}${places} are damaged, the file's checksums fail there, and were taken as silence. ${damagedAdvice}`,
    ];
  }
  const what =
    bad === 1
      ? `1 sample${whose} ${where} is no number, or far beyond full scale, and was`
      : `${bad} samples${whose} ${where}${places} are no numbers, or far beyond full scale, and were`;
  return [`${toDisplayName(file)}: ${what} taken as silence. ${invalidAdvice}`];
}

/**
 * Says of a capture what is wrong with its samples.
 *
 * @param channels the stretches of each channel with samples that are none
 * @param isAltered whether they are not those that the file's own checksum was made of
 */
export function formatFileWarnings(
  info: RecordingInfo,
  channels: readonly (readonly InvalidSpan[])[],
  isAltered: true | undefined,
): readonly string[] {
  const invalid = formatInvalidWarnings(info, channels);
  // Samples that were lost are reason enough.
  if (invalid.length > 0 || !isAltered) return invalid;
  return [
    `${toDisplayName(info.file)}: its samples are not those that it was made of: each part of it is sound, but the checksum over all of them fails. The file was changed after it was written: copy it again from the recorder.`,
  ];
}
