import { normalizeName } from "../../desk/names.js";
import type { IncompleteReturn, RecordingInfo } from "../types.js";

/**
 * Recorders end a file at 2 or 4 GiB, or after some minutes, and continue in the next: `_001` and
 * `_002`, `-1` and `-2`, `evening.wav` and `evening (1).wav`. Takes are named in the same ways, so
 * a name only says where to look; what proves that two files are one recording is a return that
 * begins in one and ends, at the right time, in the other.
 */

/**
 * For each file, the one in which its recorder may have continued; undefined for none.
 *
 * @param infos in any order
 * @example
 * const info = (file) => ({
 *   file,
 *   sampleRate: 48_000,
 *   channels: 1,
 *   bits: 24,
 *   sampleFormat: "int",
 *   frames: 1000,
 *   cues: [],
 *   doubts: [],
 * });
 * findContinuations([info("evening_001.wav"), info("evening_002.wav")]); // [1, undefined]
 */
export function findContinuations(
  infos: readonly RecordingInfo[],
): readonly (number | undefined)[] {
  const names = infos.map(({ file }) => partName(file));
  return infos.map((info, i) => {
    const next = infos.findIndex(
      (other, k) => k !== i && follows(names[i], names[k]) && isAlike(info, other),
    );
    return next < 0 || contradicts(info, infos[next]) ? undefined : next;
  });
}

/**
 * Where each file begins in a split recording, judging by its name and the returns before it: a
 * file continues one with several returns; files with one return each are separate captures.
 *
 * @param files with the number of returns in each, whole or not
 * @returns the first file of its recording and the frame there, for each file that is a part of one
 * @example
 * const info = (file) => ({
 *   file,
 *   sampleRate: 48_000,
 *   channels: 1,
 *   bits: 24,
 *   sampleFormat: "int",
 *   frames: 1000,
 *   cues: [],
 *   doubts: [],
 * });
 * const files = ["evening_001.wav", "evening_002.wav"].map((file) => ({ info: info(file), returns: 2 }));
 * findSplitRecordings(files).get("evening_002.wav"); // { first: "evening_001.wav", fromFrame: 1000 }
 */
export function findSplitRecordings(
  files: readonly { readonly info: RecordingInfo; readonly returns: number }[],
): ReadonlyMap<string, { readonly first: string; readonly fromFrame: number }> {
  const next = findContinuations(files.map(({ info }) => info)).map((after, i) =>
    files[i].returns > 1 ? after : undefined,
  );
  const parts = new Map<string, { first: string; fromFrame: number }>();
  const firsts = files.flatMap((_, i) => (next[i] !== undefined && !next.includes(i) ? [i] : []));
  for (const start of firsts) {
    let fromFrame = 0;
    for (let at: number | undefined = start; at !== undefined; at = next[at]) {
      const { file, frames } = files[at].info;
      if (parts.has(file)) break;
      parts.set(file, { first: files[start].info.file, fromFrame });
      fromFrame += frames;
    }
  }
  return parts;
}

/**
 * Files given after one with a later number in its name. A counter at its end, e.g. 9999, restarts,
 * so a number far below it may follow.
 *
 * @param files in any order
 * @returns the file given too early, the nearest of several, and the one that should come before it
 * @example
 * findOutOfSequence(["take2.wav", "take1.wav"]); // [["take2.wav", "take1.wav"]]
 * findOutOfSequence(["take1.wav", "take2.wav"]); // []
 */
export function findOutOfSequence(
  files: readonly string[],
): readonly (readonly [string, string])[] {
  const names = files.map(partName);
  const wraps = (late: PartName, early: PartName) =>
    names.some(({ stem, number = 0 }) => {
      if (stem !== late.stem || !/^9{3,}$/.test(String(number))) return false;
      return (late.number ?? 0) - (early.number ?? 0) > number / 2;
    });
  return files.flatMap((file, k): readonly (readonly [string, string])[] => {
    const early = names
      .slice(0, k)
      .findLastIndex((name) => isLater(name, names[k]) && !wraps(name, names[k]));
    return early < 0 ? [] : [[files[early], file]];
  });
}

/** Whether a name has a later number than another; a first part may have no number. */
function isLater(one: PartName, first: PartName): boolean {
  if (one.number === undefined) return false;
  if (first.number === undefined) return bareStem(one) === first.stem;
  return one.stem === first.stem && one.number > first.number;
}

interface PartName {
  /** Folder and name up to the number. */
  readonly stem: string;
  readonly number?: number;
  readonly extension: string;
}

function partName(file: string): PartName {
  const [, name, extension = ""] = /^(.*?)(\.[a-z0-9]{1,5})?$/is.exec(normalizeName(file)) ?? [
    "",
    file,
  ];
  const [, stem, number] = /^(.*?)(\d{1,6})\)?$/s.exec(name) ?? [];
  if (stem === undefined) return { stem: name, extension };
  return { stem, number: Number(number), extension };
}

function follows(one: PartName, next: PartName): boolean {
  if (next.number === undefined || one.extension !== next.extension) return false;
  if (one.number !== undefined && one.stem === next.stem) return next.number === one.number + 1;
  // A first part may have no part number, even if its name ends in another number.
  const bare = one.number === undefined ? one.stem : undefined;
  return bare !== undefined && next.number <= 2 && bareStem(next) === bare;
}

/** The stem without the separator before the number. */
function bareStem({ stem }: PartName): string {
  return stem.replace(/[-_ .(]+$/, "");
}

function isAlike(a: RecordingInfo, b: RecordingInfo): boolean {
  const shape = ({ sampleFormat, bits, channels, sampleRate }: RecordingInfo) =>
    [sampleFormat, bits, channels, sampleRate].join();
  return shape(a) === shape(b);
}

/**
 * Whether the times in both files contradict that one directly follows the other. Equal times say
 * nothing: some programs write the session's time into every file.
 */
function contradicts({ bext, frames, sampleRate }: RecordingInfo, next: RecordingInfo): boolean {
  const [from, to] = [bext?.timeReference, next.bext?.timeReference];
  if (from === undefined || to === undefined || from === to) return false;
  const day = 86_400 * sampleRate;
  const off = (((to - from - frames) % day) + day) % day;
  return Math.min(off, day - off) > sampleRate;
}

/** A range around the joint of two files, in sample frames of the first. */
export type JointRange = readonly [number, number];

/** Seconds; margin for lost or repeated samples, and for filters to settle. */
const marginS = 1;

/**
 * Range of a possible return that begins in one file and ends in a later one: shown by a start
 * without its end, or an end without its start, in the separate files.
 *
 * @param cuts of the first file
 * @param nextCuts of the one after it
 * @returns undefined if nothing indicates such a return
 * @example
 * const info = { file: "a_001.wav", frames: 480_000, sampleRate: 48_000 };
 * const cut = { missing: "end", startSample: 400_000, lengthSamples: 200_000, atSample: 405_000 };
 * // A second to either side of what begins at the end of the first file.
 * findJointRange(info, [cut], []); // [352000, 648000]
 * findJointRange(info, [], []); // undefined
 */
export function findJointRange(
  { frames, sampleRate }: RecordingInfo,
  cuts: readonly IncompleteReturn[],
  nextCuts: readonly IncompleteReturn[],
): JointRange | undefined {
  const spans = [
    ...cuts.filter((cut) => cut.missing === "end" && endOf(cut) > frames - marginS * sampleRate),
    ...nextCuts
      .filter((cut) => cut.missing === "start" && cut.startSample < marginS * sampleRate)
      .map((cut) => ({ ...cut, startSample: cut.startSample + frames })),
  ];
  if (spans.length === 0) return undefined;
  const margin = Math.ceil(marginS * sampleRate);
  const from = Math.min(...spans.map(({ startSample }) => startSample));
  const until = Math.max(...spans.map(endOf));
  return [Math.max(0, Math.floor(from) - margin), Math.ceil(until) + margin];
}

function endOf({ startSample, lengthSamples }: { startSample: number; lengthSamples: number }) {
  return startSample + lengthSamples;
}
