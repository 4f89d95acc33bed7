import type { SampleReader } from "../containers/sample-reader.js";
import { type Chirp, type ChirpSearch, createChirpSearch, minChirpSpacingS } from "./chirps.js";
import { findInvalidSpans, type InvalidSpan } from "./invalid-samples.js";
import { type ChannelLevels, createLevelMeter, mergeChannelLevels } from "./level-meter.js";

/** Sample frames of a capture: the first, and the one after the last. */
export type FrameRange = readonly [number, number];

/** Results for one block of a capture, by channel. */
export interface Scan {
  /** By channel, in order of time, in frames of the capture. */
  readonly chirps: readonly (readonly Chirp[])[];
  readonly heard: readonly ChannelLevels[];
  /** Set where the samples are not those that the file's own checksum was made of. */
  readonly isAltered?: true;
}

const blockFrames = 65_536;
/** Approximate length of blocks, seconds; the same for every search. */
const stretchS = 60;
/**
 * Seconds read before a block, for filters to settle, and after it, for a chirp that begins at its
 * end.
 */
const besideS = 0.4;

/**
 * The blocks in which a capture is searched. They depend only on the capture, so that results do
 * not depend on the number of threads.
 *
 * @example
 * splitIntoBlocks([0, 48_000], 48_000); // [[0, 48000]]
 * // Ten minutes in stretches of about one.
 * splitIntoBlocks([0, 600 * 48_000], 48_000).length; // 10
 */
export function splitIntoBlocks(
  [from, until]: FrameRange,
  sampleRate: number,
): readonly FrameRange[] {
  const blocks = Math.ceil((stretchS * sampleRate) / blockFrames);
  const count = Math.max(1, Math.round((until - from) / (blocks * blockFrames)));
  return Array.from({ length: count }, (_, k) => [
    from + k * blocks * blockFrames,
    k === count - 1 ? until : from + (k + 1) * blocks * blockFrames,
  ]);
}

/**
 * Searches a block of a capture for chirps.
 *
 * @param whole bounds of the whole search: nothing outside them is read
 * @param onShare called now and then with the share done, 0 to 1
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const whole = [0, reader.frames];
 * scanBlock(reader, whole, whole).chirps[0].length; // 4
 * reader.close();
 */
export function scanBlock(
  reader: SampleReader,
  [from, until]: FrameRange,
  whole: FrameRange,
  onShare: (share: number) => void = () => {},
): Scan {
  const { sampleRate, channels } = reader.info;
  const beside = Math.ceil(besideS * sampleRate);
  const first = Math.max(whole[0], from - beside);
  const end = Math.min(whole[1], until + beside);
  const searches = takeSearches(sampleRate, channels);
  const listeners = Array.from({ length: channels }, createLevelMeter);
  const bad = Array.from({ length: channels }, (): InvalidSpan[] => []);
  for (let at = first; at < end; at += blockFrames) {
    for (let channel = 0; channel < channels; channel++) {
      const badBefore = reader.badSamples;
      const count = reader.read(at, Math.min(blockFrames, end - at), channel, block);
      searches[channel].push(block, count);
      listeners[channel].push(block, Math.max(0, from - at), Math.min(count, until - at));
      if (reader.badSamples === badBefore) continue;
      const [own, ownEnd] = [Math.max(from, at), Math.min(at + count, until)];
      bad[channel].push(...findInvalidSpans(reader, channel, own, ownEnd));
    }
    onShare(Math.min(1, (at + blockFrames - first) / (end - first)));
  }
  const slack = minChirpSpacingS * sampleRate;
  const chirps = searches.map((search) => search.finish());
  spare = { sampleRate, searches };
  return {
    chirps: chirps.map((own) =>
      own
        .map((chirp) => ({ ...chirp, at: chirp.at + first }))
        .filter(({ at }) => at >= from - slack && at < until + slack),
    ),
    heard: listeners.map((one, channel) => ({ ...one.heard(), bad: bad[channel] })),
    ...(reader.isAltered ? { isAltered: true } : {}),
  };
}

const block = new Float64Array(blockFrames);

/** Finished searches, whose buffers are reused for the next block. */
let spare: { readonly sampleRate: number; readonly searches: readonly ChirpSearch[] } | undefined;

/** One search per channel. After an error none is kept. */
function takeSearches(sampleRate: number, channels: number): readonly ChirpSearch[] {
  const kept = spare?.sampleRate === sampleRate ? spare.searches : [];
  spare = undefined;
  return Array.from({ length: channels }, (_, k) => kept[k] ?? createChirpSearch(sampleRate));
}

/**
 * Merges the scans of a capture's blocks, in order; a chirp at a border is in both.
 *
 * @example
 * const reader = await openSamples(inspectRecording(recording));
 *
 * const whole = [0, reader.frames];
 * const scan = scanBlock(reader, whole, whole);
 * mergeScans([scan], reader.info.sampleRate).chirps[0].length; // 4
 * reader.close();
 */
export function mergeScans(scans: readonly Scan[], sampleRate: number): Scan {
  return {
    chirps: scans[0].chirps.map((_, channel) => {
      const all: Chirp[] = [];
      for (const { chirps } of scans) {
        for (const chirp of chirps[channel]) {
          const last = all.at(-1);
          if (last === undefined || chirp.at - last.at > minChirpSpacingS * sampleRate)
            all.push(chirp);
          else if (Math.abs(chirp.likeness) > Math.abs(last.likeness)) all[all.length - 1] = chirp;
        }
      }
      return all;
    }),
    heard: scans[0].heard.map((_, channel) =>
      mergeChannelLevels(
        scans.map(({ heard }) => heard[channel]),
        sampleRate,
      ),
    ),
    ...(scans.some(({ isAltered }) => isAltered) ? { isAltered: true } : {}),
  };
}
