import { findContinuations, findJointRange } from "../../capture/assign/split-recordings.js";
import type { SearchResult, SearchScope } from "../../capture/find/find-returns.js";
import type {
  IncompleteReturn,
  RecordingInfo,
  SignalReturn,
  SignalSpan,
} from "../../capture/types.js";
import type { CaptureSearch } from "./search-captures.js";

/** A capture file and what was found in it. */
export interface SearchedCapture {
  readonly info: RecordingInfo;
  readonly found: SearchResult;
  readonly scope: SearchScope;
  /** Set if a return that began in the previous file continues in this one. */
  readonly goesOn?: true;
}

/**
 * Finds the returns that begin in one file and end in the next, because the recorder split the
 * capture there. Two halves become one return of the file in which it begins, complete or with more
 * lost or repeated than a dropout at the change of files.
 *
 * @param searched files in the order given
 *
 * @param search searches ranges of joined files
 *
 * @returns the same files; those that are continued say by which
 */
export async function joinParts(
  searched: readonly SearchedCapture[],
  search: (searches: readonly CaptureSearch[]) => Promise<readonly SearchResult[]>,
): Promise<readonly SearchedCapture[]> {
  const next = findContinuations(searched.map(({ info }) => info));
  const tasks = searched.flatMap(({ info, found, scope }, i) => {
    const after = next[i];
    if (after === undefined) return [];
    const range = findJointRange(info, found.cuts, searched[after].found.cuts);
    if (range === undefined) return [];
    return [{ i, task: { info: chain(searched, next, i, range[1]), scope: { ...scope, range } } }];
  });
  const results = tasks.length === 0 ? [] : await search(tasks.map(({ task }) => task));
  const joined = [...searched];
  results.forEach(({ returns, cuts }, k) => {
    const { i, task } = tasks[k];
    const { info, found } = searched[i];
    const isAcross = (one: SignalReturn | IncompleteReturn) =>
      one.startSample < info.frames && endOf(one) > info.frames;
    for (const one of returns.filter(isAcross)) {
      join(joined, next, i, one);
      joined[i] = { ...joined[i], info: task.info };
    }
    // Files of one return each are separate captures: half a return is not joined across them.
    if (found.returns.length + found.cuts.length < 2) return;
    for (const one of cuts.filter(isAcross)) {
      if (isTorn(one, found.cuts)) join(joined, next, i, one);
    }
  });
  return joined;
}

/** A file with those that may continue it, as far as a range extends. */
function chain(
  searched: readonly SearchedCapture[],
  next: readonly (number | undefined)[],
  first: number,
  until: number,
): RecordingInfo {
  const members = [first];
  let frames = searched[first].info.frames;
  for (let at = next[first]; at !== undefined && frames < until; at = next[at]) {
    if (members.includes(at)) break;
    members.push(at);
    frames += searched[at].info.frames;
  }
  return members.reduceRight<RecordingInfo | undefined>((rest, at) => {
    const { info } = searched[at];
    return rest === undefined ? info : { ...info, continuedBy: rest };
  }, undefined) as RecordingInfo;
}

/** Adds a return that crosses files to the first of them, and removes its halves. */
function join(
  joined: SearchedCapture[],
  next: readonly (number | undefined)[],
  first: number,
  one: SignalReturn | IncompleteReturn,
): void {
  let from = 0;
  let end = first;
  for (let at: number | undefined = first; at !== undefined && from < endOf(one); at = next[at]) {
    const part = joined[at];
    const cuts = part.found.cuts.filter((cut) => !isWithin(one, cut.atSample + from));
    joined[at] = { ...part, found: { ...part.found, cuts } };
    if (at !== first) joined[at] = { ...joined[at], goesOn: true };
    from += part.info.frames;
    end = at;
  }
  const { found } = joined[first];
  const endsIn = joined[end].info.file;
  const own =
    one.missing === undefined
      ? { returns: inTime([...found.returns, { ...one, endsIn }]) }
      : { cuts: inTime([...found.cuts, { ...one, endsIn }]) };
  joined[first] = { ...joined[first], found: { ...found, ...own } };
}

function inTime<R extends SignalSpan>(returns: readonly R[]): readonly R[] {
  return [...returns].sort((a, b) => a.startSample - b.startSample);
}

/** Whether a return has both markers although it has no end in its first file. */
function isTorn(one: IncompleteReturn, cuts: readonly IncompleteReturn[]): boolean {
  if (one.missing !== "middle") return false;
  return cuts.some(({ missing, atSample }) => missing === "end" && isWithin(one, atSample));
}

/** Whether a marker, at a frame of the file in which a return begins, belongs to that return. */
function isWithin(one: SignalReturn | IncompleteReturn, at: number): boolean {
  return at > one.startSample && at < endOf(one);
}

function endOf({
  startSample,
  lengthSamples,
  slipSamples = 0,
}: SignalReturn | IncompleteReturn): number {
  return startSample + lengthSamples + slipSamples;
}
