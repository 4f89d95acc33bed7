import type { Found, SearchScope } from "../capture/find.js";
import { likelyNext, rangeAcross } from "../capture/parts.js";
import type { Played, Return, WavInfo } from "../capture/types.js";
import type { Search } from "./find-returns.js";

/** A capture file and what was found in it. */
export interface Searched {
  readonly info: WavInfo;
  readonly found: Found;
  readonly scope: SearchScope;
  /** Set where a return that began in the file before runs on into this one. */
  readonly goesOn?: true;
}

/**
 * Finds the returns that begin in one file and end in the next, where the recorder split a capture
 * in their midst. What was taken for two halves becomes one return of the file it begins in.
 *
 * @param searched files in the order given
 * @param search looks through stretches of joined files
 * @returns the same files; those that are continued say by what
 */
export async function joinParts(
  searched: readonly Searched[],
  search: (searches: readonly Search[]) => Promise<readonly Found[]>,
): Promise<readonly Searched[]> {
  const next = likelyNext(searched.map(({ info }) => info));
  const tasks = searched.flatMap(({ info, found, scope }, i) => {
    const after = next[i];
    if (after === undefined) return [];
    const range = rangeAcross(info, found.cuts, searched[after].found.cuts);
    if (range === undefined) return [];
    return [{ i, task: { info: chain(searched, next, i, range[1]), scope: { ...scope, range } } }];
  });
  const results = tasks.length === 0 ? [] : await search(tasks.map(({ task }) => task));
  const joined = [...searched];
  results.forEach(({ returns }, k) => {
    const { i, task } = tasks[k];
    const { frames } = searched[i].info;
    for (const one of returns) {
      if (one.startSample < frames && endOf(one) > frames) join(joined, next, i, task.info, one);
    }
  });
  return joined;
}

/** A file with those that may continue it, as far as a stretch reaches. */
function chain(
  searched: readonly Searched[],
  next: readonly (number | undefined)[],
  first: number,
  until: number,
): WavInfo {
  const members = [first];
  let frames = searched[first].info.frames;
  for (let at = next[first]; at !== undefined && frames < until; at = next[at]) {
    if (members.includes(at)) break;
    members.push(at);
    frames += searched[at].info.frames;
  }
  return members.reduceRight<WavInfo | undefined>((rest, at) => {
    const { info } = searched[at];
    return rest === undefined ? info : { ...info, continuedBy: rest };
  }, undefined) as WavInfo;
}

/** Puts a return that crosses from one file into others into the first, and its halves away. */
function join(
  joined: Searched[],
  next: readonly (number | undefined)[],
  first: number,
  info: WavInfo,
  one: Return,
): void {
  let from = 0;
  let end = first;
  for (let at: number | undefined = first; at !== undefined && from < endOf(one); at = next[at]) {
    const part = joined[at];
    const cuts = part.found.cuts.filter((cut) => !overlap(one, cut, from));
    joined[at] = { ...part, found: { ...part.found, cuts } };
    if (at !== first) joined[at] = { ...joined[at], goesOn: true };
    from += part.info.frames;
    end = at;
  }
  const { found } = joined[first];
  const whole = { ...one, endsIn: joined[end].info.file };
  const returns = [...found.returns, whole].sort((a, b) => a.startSample - b.startSample);
  joined[first] = { ...joined[first], info, found: { ...found, returns } };
}

/** Whether a part of a file, which begins at a frame of the first, is a part of a return there. */
function overlap(one: Played, part: Played, from: number): boolean {
  const apart = Math.abs(part.startSample + from - one.startSample);
  return apart < one.lengthSamples / 2;
}

function endOf({ startSample, lengthSamples }: Played): number {
  return startSample + lengthSamples;
}
