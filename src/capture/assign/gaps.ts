import type { Doubt, SilentGap } from "../../doubt.js";
import { buildReturnTable } from "../find/return-table.js";
import type { SignalSpan } from "../types.js";

/** A return in the order it is assigned in, with the path it got, if any. */
export interface Placed {
  readonly return: SignalSpan;
  readonly path?: string;
}

/**
 * For a file, the first part of its split recording and the frame at which the file begins in it.
 */
export type PartOf = (
  file: string,
) => { readonly first: string; readonly fromFrame: number } | undefined;

/** Beyond the signal's own length, seconds: time to press play. */
const pauseS = 1;
/** More gaps than this in a file make one doubt: long pauses are usual in it. */
const maxApart = 3;

/**
 * Looks for gaps between returns of one recording that are long enough for a signal of a dead path:
 * then every later return would be assigned to the path before its own. The time before the first
 * return counts if only that is long enough for all missing signals, e.g. when every mic input is
 * dead and the line returns would be assigned to mics.
 *
 * @param placed returns from any number of files, in the order of assignment
 * @param isTold whether a path known to be silent is between two paths of the run sheet, or before
 *   the second where there is no first
 * @param partOf the files that continue in others
 * @param without number of paths left without a return
 * @returns doubts, with times in the recording
 * @example
 * const one = (startSample, name) => ({
 *   return: { file: "a.wav", channel: 0, startSample, lengthSamples: 249_165, profile: "quick", band: "base", signalVersion: 1, driftPpm: 0 },
 *   path: name,
 * });
 * // Two returns with room for a third between them.
 * const placed = [one(0, "1/mic"), one(3 * 249_165, "2/mic")];
 * listGapDoubts(placed, () => false).map(({ code }) => code); // ["room-for-a-signal"]
 * // The path between them is known to pass nothing.
 * listGapDoubts(placed, () => true); // []
 */
export function listGapDoubts(
  placed: readonly Placed[],
  isTold: (before: string | undefined, after: string) => boolean,
  partOf: PartOf = () => undefined,
  without = 0,
): readonly Doubt[] {
  const gaps = new Map<string, SilentGap[]>();
  const ends = new Map<string, { end: number; path?: string }>();
  const leads = new Map<string, SilentGap>();
  // With one recording per path, pauses say nothing.
  const returnsIn = new Map<string, number>();
  for (const { return: one, path } of placed) {
    const { lengthSamples } = one;
    const { first: file, fromFrame } = partOf(one.file) ?? { first: one.file, fromFrame: 0 };
    const startSample = one.startSample + fromFrame;
    const rate = sampleRateOf(one);
    if (rate === undefined) continue;
    const last = ends.get(file);
    const end = startSample + lengthSamples;
    const from = last?.end ?? 0;
    const signals = Math.floor((startSample - from) / (lengthSamples + pauseS * rate));
    returnsIn.set(file, (returnsIn.get(file) ?? 0) + 1);
    if (signals > 0) {
      const told = path !== undefined && isToldAfter(last, path, isTold);
      const before = path === undefined ? {} : { before: path };
      const gap = { fromS: from / rate, untilS: startSample / rate, signals, ...before };
      if (!told && last === undefined) leads.set(file, gap);
      else if (!told) gaps.set(file, [...(gaps.get(file) ?? []), gap]);
    }
    ends.set(file, { end: Math.max(end, last?.end ?? 0), ...(path === undefined ? {} : { path }) });
  }
  const roomWithin = [...gaps.values()].flat().reduce((sum, { signals }) => sum + signals, 0);
  for (const [file, lead] of leads) {
    const inTurn = (returnsIn.get(file) ?? 0) > 1;
    if (inTurn && without > 0 && roomWithin < without && lead.signals >= without)
      gaps.set(file, [lead, ...(gaps.get(file) ?? [])]);
  }
  const several = new Set(placed.flatMap((one) => laterPart(one.return.file, partOf)));
  return [...gaps].flatMap(([file, found]) => {
    const parts = several.has(file) ? "several" : "one";
    const groups = found.length <= maxApart ? found.map((gap) => [gap]) : [found];
    return groups.map((own): Doubt => ({ code: "room-for-a-signal", file, parts, gaps: own }));
  });
}

/**
 * Whether the silence before a path is explained; there may be no return before it, or one without
 * a path.
 */
function isToldAfter(
  last: { readonly path?: string } | undefined,
  path: string,
  isTold: (before: string | undefined, after: string) => boolean,
): boolean {
  if (last !== undefined && last.path === undefined) return false;
  return isTold(last?.path, path);
}

/** The first part, for a file that continues a recording. */
function laterPart(file: string, partOf: PartOf): readonly string[] {
  const part = partOf(file);
  return part === undefined || part.first === file ? [] : [part.first];
}

/** Sample rate of the capture, hertz; undefined if no signal was found. */
function sampleRateOf(played: SignalSpan): number | undefined {
  const { profile, signalVersion, band, lengthSamples, driftPpm = 0, windows } = played;
  if (profile === undefined || band === undefined) return undefined;
  const told = {
    profile,
    band,
    ...(signalVersion === undefined ? {} : { signalVersion }),
    ...(windows === undefined ? {} : { windows }),
  };
  return lengthSamples / (buildReturnTable(told).lengthS * (1 + driftPpm * 1e-6));
}
