import { toDisplayName } from "../containers/open-file.js";
import { buildReturnTable } from "../find/return-table.js";
import type { SignalSpan } from "../types.js";

/** A return in the order it is assigned in, with the path it got, if any. */
export interface Placed {
  readonly return: SignalSpan;
  readonly path?: string;
}

/** The first file of a recording in several parts, and at which of its frames a file begins. */
export type PartOf = (
  file: string,
) => { readonly first: string; readonly fromFrame: number } | undefined;

interface Gap {
  readonly fromS: number;
  readonly toS: number;
  /** Path of the return after the gap. */
  readonly before?: string;
}

/** Beyond the signal's own length, seconds: time to press play. */
const pauseS = 1;
/** With more gaps than this in a file the owner pauses for long anyway; the longest are named. */
const mostNamed = 3;

/**
 * Looks for room between returns of one recording in which a whole signal may have been played and not
 * heard, because its path is dead: then every later return is taken for the path before its own.
 *
 * @param placed returns of any number of files, in the order of assignment
 * @param isTold whether a path known to be silent lies between two paths of the run sheet
 * @param partOf tells the files that go on in others
 * @returns sentences for the user, with times in the recording
 */
export function formatGapWarnings(
  placed: readonly Placed[],
  isTold: (before: string, after: string) => boolean,
  partOf: PartOf = () => undefined,
): readonly string[] {
  const gaps = new Map<string, Gap[]>();
  const ends = new Map<string, { end: number; path?: string }>();
  for (const { return: one, path } of placed) {
    const { lengthSamples } = one;
    const { first: file, fromFrame } = partOf(one.file) ?? { first: one.file, fromFrame: 0 };
    const startSample = one.startSample + fromFrame;
    const rate = sampleRateOf(one);
    if (rate === undefined) continue;
    const last = ends.get(file);
    const end = startSample + lengthSamples;
    if (last !== undefined && startSample - last.end >= lengthSamples + pauseS * rate) {
      const told = last.path !== undefined && path !== undefined && isTold(last.path, path);
      const before = path === undefined ? {} : { before: path };
      const gap = { fromS: last.end / rate, toS: startSample / rate, ...before };
      if (!told) gaps.set(file, [...(gaps.get(file) ?? []), gap]);
    }
    ends.set(file, { end: Math.max(end, last?.end ?? 0), ...(path === undefined ? {} : { path }) });
  }
  const several = new Set(placed.flatMap((one) => laterPart(one.return.file, partOf)));
  return [...gaps].flatMap(([file, found]) => {
    const parts = several.has(file) ? " and its further parts, counted from its start" : "";
    return wordsFor(`${toDisplayName(file)}${parts}`, found);
  });
}

/** The first part, for a file that goes on from it. */
function laterPart(file: string, partOf: PartOf): readonly string[] {
  const part = partOf(file);
  return part === undefined || part.first === file ? [] : [part.first];
}

function wordsFor(name: string, gaps: readonly Gap[]): readonly string[] {
  if (gaps.length <= mostNamed) {
    return gaps.map((gap) => {
      const silent = gap.before ?? "<path>";
      return `${name}: from ${span(gap)} there is room for a whole signal that was not heard. If a path was silent there, all returns after it are taken for the wrong path: name it, as in --silent ${silent}.`;
    });
  }
  const longest = [...gaps]
    .sort((a, b) => b.toS - b.fromS - (a.toS - a.fromS))
    .slice(0, mostNamed)
    .sort((a, b) => a.fromS - b.fromS);
  const silent = longest[0].before ?? "<path>";
  return [
    `${name}: ${gaps.length} pauses have room for a whole signal that was not heard, the longest from ${longest.map(span).join(", ")}. If a path was silent in one of them, all returns after it are taken for the wrong path: name it, as in --silent ${silent}.`,
  ];
}

function span({ fromS, toS, before }: Gap): string {
  const where = before === undefined ? "" : ` (before ${before})`;
  return `${clock(fromS)} to ${clock(toS)}${where}`;
}

/** Minutes and seconds, with hours when there are any. */
function clock(seconds: number): string {
  const whole = Math.max(0, Math.round(seconds));
  const two = (value: number) => String(value).padStart(2, "0");
  const minutes = Math.floor(whole / 60) % 60;
  const hours = Math.floor(whole / 3600);
  const rest = two(whole % 60);
  return hours > 0 ? `${hours}:${two(minutes)}:${rest}` : `${minutes}:${rest}`;
}

/** Sample rate of the capture, hertz; undefined where no signal was heard. */
function sampleRateOf(played: SignalSpan): number | undefined {
  const { profile, band, lengthSamples, driftPpm = 0, windows } = played;
  if (profile === undefined || band === undefined) return undefined;
  const told = { profile, band, ...(windows === undefined ? {} : { windows }) };
  return lengthSamples / (buildReturnTable(told).lengthS * (1 + driftPpm * 1e-6));
}
