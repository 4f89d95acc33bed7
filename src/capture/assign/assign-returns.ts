import { parsePath } from "../../desk/paths.js";
import type { DeskPath, NamePattern } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import { toDisplayName } from "../containers/open-file.js";
import type { Assignment, SignalReturn, SignalSpan } from "../types.js";
import { applyMap } from "./apply-map.js";
import { findInputsInName, parseTakeNumber, readFileName } from "./file-names.js";
import { listGapDoubts, type PartOf, type Placed } from "./gaps.js";
import type { PathMapEntry } from "./path-map.js";
import { isReferenceFile, peelReference, sortReferenceReturns } from "./reference-returns.js";

export { type PathMapEntry, parseChannelMap, parseMap } from "./path-map.js";

export interface AssignOptions {
  /** The user's map; see `parseMap`. */
  readonly map?: readonly PathMapEntry[] | undefined;
  /** Paths that were patched but gave no return: left out of the order. */
  readonly skipped?: readonly string[] | undefined;
  /**
   * Paths that a channel of a file may hold, empty for an unused channel; undefined for a file
   * whose channels are sides of one output.
   */
  readonly channelPaths?:
    | ((file: string, channel: number) => readonly string[] | undefined)
    | undefined;
  /** File name patterns of the desk file. */
  readonly patterns?: readonly NamePattern[] | undefined;
  /**
   * The split recording that a file is a part of, and its position in it; undefined for a whole
   * one.
   */
  readonly partOf?: PartOf | undefined;
  /** Paths requested; the whole desk when absent. */
  readonly wanted?: readonly string[] | undefined;
  /** Name of the reference path, which bypasses all strips and is played first and last. */
  readonly reference?: string | undefined;
}

export interface AssignmentResult<R extends SignalSpan = SignalReturn> {
  /** Several for one path are its takes, the latest last. */
  readonly assignments: readonly Assignment<R>[];
  /** Returns for which no path is left. Those that a map leaves out on purpose are not here. */
  readonly unassigned: readonly R[];
  /** Paths without a return, in run-sheet order; without those skipped. */
  readonly missing: readonly string[];
  /**
   * Files, as given, whose returns were assigned in order to a list of paths; one entry per list.
   */
  readonly inTurn: readonly (readonly string[])[];
  readonly doubts: readonly Doubt[];
}

/** Paths that returns can be assigned to. */
interface Scope {
  /** Of the desk, in run-sheet order. */
  readonly paths: readonly DeskPath[];
  readonly patterns: readonly NamePattern[];
  readonly isSkipped: (path: string) => boolean;
  readonly isWanted: (path: string) => boolean;
}

/**
 * Decides which path each return belongs to: by the map; then by what the file's name says
 * (`readFileName`); then by the run sheet's order, over the paths that are left. A file with
 * exactly as many returns as its name has paths holds them all, even if some were recorded again
 * elsewhere.
 *
 * Several returns of a single path are takes. The latest take comes last, in this order: returns
 * assigned by order alone, by a name of many paths, by a name of one path, by the map; files of the
 * same path by the take number in their names, then in the order given. If there are n times as
 * many returns as paths in a list, the list was played n times from beginning to end, and these are
 * takes.
 *
 * Incomplete returns keep their place in the order, so that later ones get their own paths: those
 * that make the numbers agree or, if none do, those chosen by `likelyPlayed`.
 *
 * If only some paths are requested, the order is that of these; but if there are as many returns as
 * paths in the desk, or as paths that a name covers, all of these were recorded, and only the
 * requested ones are kept.
 *
 * Returns of the reference path are those that a map or a name gives it; otherwise the first and
 * last of a list in order, if their number shows that it was played.
 *
 * @param returns complete or not, in the order in which the files were given
 * @param paths of the desk, in run-sheet order
 * @throws DeskroundError `usage` when the map does not fit, or a name is ambiguous
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * const one = (file) => ({ file, channel: 0, startSample: 0, lengthSamples: 100 });
 * const found = assignReturns([one("2.wav"), one("1.wav")], [path("1", "mic"), path("2", "mic"), path("3", "mic")]);
 * found.assignments.map(({ path: name, return: { file } }) => [file, name]); // [["1.wav", "1/mic"], ["2.wav", "2/mic"]]
 * found.missing; // ["3/mic"]
 */
export function assignReturns<R extends SignalSpan>(
  returns: readonly R[],
  paths: readonly DeskPath[],
  options: AssignOptions = {},
): AssignmentResult<R> {
  const skipped = new Set((options.skipped ?? []).map((text) => parsePath(text, paths).path));
  const doubts: Doubt[] = [];
  const ordered = inOrder(returns);
  const map = options.map ?? [];
  const mapped = applyMap(map.length === 0 ? ordered : likelyPlayed(ordered), map, doubts);
  const wanted = options.wanted === undefined ? undefined : new Set(options.wanted);
  const isWanted = (path: string) => wanted?.has(path) ?? true;
  const patterns = options.patterns ?? [];
  const scope = { paths, patterns, isSkipped: (path: string) => skipped.has(path), isWanted };
  const channelPaths = options.channelPaths ?? (() => undefined);
  const onChannels = mapped.rest.filter((one) => channelPaths(one.file, one.channel) !== undefined);
  const apart = mapped.rest.filter((one) => !onChannels.includes(one));
  const { reference } = options;
  const referenceFiles = new Set(
    reference === undefined
      ? []
      : [...new Set(apart.map(({ file }) => file))].filter((file) =>
          isReferenceFile(file, reference, paths, patterns),
        ),
  );
  const isOfReference = ({ file }: R) => referenceFiles.has(file);
  const others = apart.filter((one) => !isOfReference(one));
  const named = apart.filter((one) => isOfReference(one) && one.missing === undefined);
  const pools = [
    ...poolsByName(others, scope, doubts),
    ...poolsByChannel(onChannels, channelPaths, scope, doubts),
  ];
  pools.sort((a, b) => a.all.length - b.all.length || rankOf[a.by] - rankOf[b.by]);
  const byMap = mapped.assignments.filter(({ path }) => path === reference || isWanted(path));
  const taken = new Set(byMap.map(({ path }) => path));
  const unassigned = [...mapped.unassigned];
  const ofReference: Assignment<R>[] =
    reference === undefined
      ? []
      : sortReferenceReturns(named).map((one) => ({ path: reference, return: one, by: "name" }));
  const isTold = ofReference.length > 0 || (reference !== undefined && taken.has(reference));
  const framed = isTold ? undefined : reference;
  const ends = { leads: framed !== undefined, trails: framed !== undefined };
  const sheet = paths.map(({ path }) => path).filter((p) => isWanted(p) && !skipped.has(p));
  const layers: (readonly Assignment<R>[])[] = [byMap];
  for (const whole of pools) {
    const { pool, lead, trail } = unframe(whole, sheet, taken, ends);
    if (framed !== undefined) {
      if (lead) ofReference.unshift({ path: framed, return: lead, by: pool.by });
      if (trail) ofReference.push({ path: framed, return: trail, by: pool.by });
      if (lead) ends.leads = false;
      if (trail) ends.trails = false;
    }
    const { assignments, surplus, agree } = fill(pool, taken, doubts, sheet);
    for (const { path } of assignments) taken.add(path);
    layers.unshift(assignments);
    unassigned.push(...surplus);
    // With a silent path there would be one return fewer.
    if (!agree && pool.by !== "channel") {
      const placed = placedOf(lead ? [lead, ...pool.returns] : pool.returns, assignments);
      const without = pool.paths.filter((path) => !taken.has(path)).length;
      const isToldBetween = toldBetween(paths, skipped);
      doubts.push(...listGapDoubts(placed, isToldBetween, options.partOf, without));
    }
  }
  const assignments = [...layers.flat(), ...ofReference];
  const missing = paths
    .map(({ path }) => path)
    .filter((p) => isWanted(p) && !taken.has(p) && !skipped.has(p));
  const inTurn = pools
    .filter(({ all }) => all.length > 1)
    .map((pool) => [...new Set(pool.returns.map(({ file }) => file))]);
  return { assignments, unassigned, missing, inTurn, doubts };
}

/** Sorts by file as given, then by time, then by channel for simultaneous returns. */
function inOrder<R extends SignalSpan>(returns: readonly R[]): readonly R[] {
  return [...groupBy(returns, ({ file }) => file).values()].flatMap((group) => {
    const byTime = [...group].sort((a, b) => a.startSample - b.startSample);
    const ordered: R[] = [];
    let side: R[] = [];
    for (const one of byTime) {
      if (side.length > 0 && one.startSample > side[0].startSample + side[0].lengthSamples / 2) {
        ordered.push(...byChannel(side));
        side = [];
      }
      side.push(one);
    }
    return [...ordered, ...byChannel(side)];
  });
}

function byChannel<R extends SignalSpan>(returns: readonly R[]): readonly R[] {
  return [...returns].sort((a, b) => a.channel - b.channel);
}

/** Returns that share a list of paths: those with one file name reading, or those with none. */
interface Pool<R extends SignalSpan> {
  readonly by: "name" | "channel" | "order";
  /** In run-sheet order, without paths skipped or not requested. */
  readonly paths: readonly string[];
  /** The same, including paths not requested. */
  readonly all: readonly string[];
  readonly returns: readonly R[];
}

/** Fewest paths first: names of one path before names of many. */
function poolsByName<R extends SignalSpan>(
  returns: readonly R[],
  scope: Scope,
  doubts: Doubt[],
): readonly Pool<R>[] {
  const { paths, patterns, isSkipped, isWanted } = scope;
  const named = new Map<string, { all: readonly string[]; returns: R[] }>();
  const unnamed: R[] = [];
  for (const [file, group] of groupBy(returns, (one) => one.file)) {
    const reading = readFileName(file, paths, patterns);
    if (reading.says === "unclear") throw unclear(file, reading);
    if (reading.doubt !== undefined) doubts.push(reading.doubt);
    if (reading.says === "nothing") {
      unnamed.push(...group);
      continue;
    }
    const meant = reading.paths.map(({ path }) => path);
    assertTakesLikely(file, group, meant, paths);
    const all = meant.filter((path) => !isSkipped(path));
    if (all.length === 0) {
      if (group.every(({ missing }) => missing === "all")) continue;
      throw notSilent(file, meant);
    }
    if (!all.some(isWanted)) {
      doubts.push({ code: "not-asked-for", file, paths: all });
      continue;
    }
    const key = meant.join();
    const pool = named.get(key);
    if (pool === undefined) named.set(key, { all, returns: [...group] });
    else pool.returns.push(...group);
  }
  const poolOf = (by: Pool<R>["by"], all: readonly string[], own: readonly R[]): Pool<R> => {
    const wanted = all.filter(isWanted);
    return { by, paths: wanted, all, returns: wanted.length === 1 ? byTake(own, scope) : own };
  };
  const pools = [...named.values()].map((pool) => poolOf("name", pool.all, pool.returns));
  if (unnamed.length > 0) {
    const all = paths.map(({ path }) => path).filter((path) => !isSkipped(path));
    pools.push(poolOf("order", all, unnamed));
  }
  return pools;
}

/**
 * Rejects a file named for a single path with as many returns as the input has strips: that is a
 * list. `mic16.wav` may be the sixteenth recording of the microphone inputs, not 24 takes of
 * 16/mic.
 */
function assertTakesLikely<R extends SignalSpan>(
  file: string,
  returns: readonly R[],
  meant: readonly string[],
  paths: readonly DeskPath[],
): void {
  const whole = returns.filter(({ missing }) => missing === undefined);
  const only = paths.find(({ path }) => path === meant[0]);
  if (meant.length !== 1 || only === undefined || whole.length < fewestOfList) return;
  const { input } = only;
  const own = paths.filter((path) => path.input === input);
  if (whole.length !== own.length && whole.length !== paths.length) return;
  const name = toDisplayName(file);
  throw new DeskroundError(
    "usage",
    `${name} holds ${whole.length} returns, as many as ${whole.length === own.length ? `${input} has strips` : "the desk has paths"}, but its name says only ${only.path}.`,
    `Name it for what it holds (${input}.wav), or say so with --map; takes of one path are recorded in files of their own.`,
  );
}

/** Fewer returns of one path may well be takes. */
const fewestOfList = 4;

/** The less specific comes later: order alone last of all. */
const rankOf: Readonly<Record<Pool<SignalSpan>["by"], number>> = { name: 0, channel: 1, order: 2 };

/** Pools by the channels' paths, narrowed by the input in a file's name. */
function poolsByChannel<R extends SignalSpan>(
  returns: readonly R[],
  channelPaths: NonNullable<AssignOptions["channelPaths"]>,
  scope: Scope,
  doubts: Doubt[],
): readonly Pool<R>[] {
  const { paths, patterns, isSkipped, isWanted } = scope;
  const pools = new Map<string, { all: readonly string[]; returns: R[] }>();
  const unused = new Map<string, Set<number>>();
  for (const one of returns) {
    const onChannel = channelPaths(one.file, one.channel) ?? [];
    const inputs = findInputsInName(one.file, paths, patterns);
    const named = paths.filter(
      ({ path, input }) =>
        onChannel.includes(path) && (inputs.size === 0 || inputs.has(input)) && !isSkipped(path),
    );
    if (named.length === 0) {
      if (one.missing !== undefined) continue;
      unused.set(one.file, (unused.get(one.file) ?? new Set<number>()).add(one.channel));
      continue;
    }
    const all = named.map(({ path }) => path);
    if (!all.some(isWanted)) continue;
    const pool = pools.get(all.join());
    if (pool === undefined) pools.set(all.join(), { all, returns: [one] });
    else pool.returns.push(one);
  }
  for (const [file, channels] of unused) {
    const which = [...channels].sort((a, b) => a - b);
    doubts.push({ code: "channel-without-path", file, channels: which });
  }
  return [...pools.values()].map(({ all, returns: own }) => {
    const wanted = all.filter(isWanted);
    return {
      by: "channel",
      paths: wanted,
      all,
      returns: wanted.length === 1 ? byTake(own, scope) : own,
    };
  });
}

/** A pool without the returns of the reference path at its ends. */
function unframe<R extends SignalSpan>(
  pool: Pool<R>,
  sheet: readonly string[],
  taken: ReadonlySet<string>,
  ends: { readonly leads: boolean; readonly trails: boolean },
) {
  const { by, all, paths, returns } = pool;
  if (by === "channel" || (!ends.leads && !ends.trails)) return { pool };
  const free = paths.filter((path) => !taken.has(path));
  const isSheet = by === "order";
  // Several returns of one path are its takes.
  if (paths.length < 2 && !(isSheet && returns.length === 3)) return { pool };
  const { rest, lead, trail } = peelReference(returns, {
    leads: ends.leads && (isSheet || paths[0] === sheet[0]),
    trails: ends.trails && (isSheet || paths.at(-1) === sheet.at(-1)),
    counts: [paths.length, free.length, all.length],
    passes: paths.length < 2 ? [] : [2, 3, 4].map((times) => times * paths.length),
    isSheet: isSheet && free.length > 1,
  });
  return { pool: { ...pool, returns: rest }, lead, trail };
}

function byTake<R extends SignalSpan>(
  returns: readonly R[],
  { paths, patterns }: Scope,
): readonly R[] {
  const files = new Set(returns.map(({ file }) => file));
  const takes = new Map([...files].map((file) => [file, parseTakeNumber(file, paths, patterns)]));
  const takeOf = ({ file }: R) => takes.get(file) ?? 1;
  return [...returns].sort((a, b) => takeOf(a) - takeOf(b));
}

/** @param sheet paths that were requested and not silent, in run-sheet order */
function fill<R extends SignalSpan>(
  pool: Pool<R>,
  taken: ReadonlySet<string>,
  doubts: Doubt[],
  sheet: readonly string[],
) {
  const { by, paths, all } = pool;
  const whole = all.length > paths.length ? agreeing(pool.returns, [all.length]) : undefined;
  if (whole !== undefined) {
    const own = all.map((path, k) => ({ path, return: whole[k], by }));
    const assignments = own.filter(({ path }) => paths.includes(path));
    doubts.push({
      code: "more-played-than-asked",
      files: filesOf(whole),
      returns: whole.length,
      first: all[0],
      last: all[all.length - 1],
      kept: paths,
    });
    return { assignments, surplus: [], agree: true };
  }
  if (paths.length === 1) {
    const whole = pool.returns.filter(({ missing }) => missing === undefined);
    const takes = whole.length > 0 ? whole : pool.returns;
    const assignments = takes.map((one) => ({ path: paths[0], return: one, by }));
    return { assignments, surplus: [], agree: true };
  }
  const free = paths.filter((path) => !taken.has(path));
  const rows = passes(pool.returns, paths) ?? passes(pool.returns, free);
  const fits = agreeing(pool.returns, [paths.length, free.length]);
  if (fits === undefined && rows !== undefined) {
    doubts.push(repeatedDoubt(rows, sheet));
    const assignments = rows.flatMap((row) => row.map((one) => ({ ...one, by })));
    return { assignments, surplus: [], agree: true };
  }
  const returns = fits ?? likelyPlayed(pool.returns);
  const slots = returns.length === paths.length ? paths : free;
  const assignments = slots
    .slice(0, returns.length)
    .map((path, k) => ({ path, return: returns[k], by }));
  const surplus = returns.slice(slots.length);
  const counts = { files: filesOf(returns), returns: returns.length, paths: slots.length };
  if (surplus.length > 0) doubts.push({ code: "more-returns-than-paths", ...counts });
  else if (returns.length > 0 && returns.length < slots.length) {
    const without = [slots[returns.length], slots[slots.length - 1]] as const;
    doubts.push({ code: "fewer-returns-than-paths", ...counts, without });
  }
  return { assignments, surplus, agree: returns.length === slots.length };
}

/** One time through the run sheet: its paths with their returns. */
type Pass<R extends SignalSpan> = readonly { readonly path: string; readonly return: R }[];

/**
 * Returns of a run sheet that was played completely more than once, judging by their number.
 *
 * @returns undefined if the number does not show that
 */
function passes<R extends SignalSpan>(
  returns: readonly R[],
  paths: readonly string[],
): readonly Pass<R>[] | undefined {
  const length = paths.length;
  if (length < 2) return undefined;
  const times = Array.from(
    { length: Math.max(0, Math.floor(returns.length / length) - 1) },
    (_, k) => (k + 2) * length,
  );
  const own = agreeing(returns, times);
  if (own === undefined) return undefined;
  return Array.from({ length: own.length / length }, (_, k) =>
    paths.map((path, n) => ({ path, return: own[k * length + n] })),
  );
}

/** Doubt for the other interpretation: each path of the run sheet once, from the first on. */
function repeatedDoubt<R extends SignalSpan>(
  rows: readonly Pass<R>[],
  sheet: readonly string[],
): Doubt {
  const all = rows.flat().map((one) => one.return);
  const [row] = rows;
  const from = sheet.indexOf(row[0].path);
  const instead = from < 0 ? [] : sheet.slice(from, from + all.length);
  return {
    code: "order-repeated",
    files: filesOf(all),
    returns: all.length,
    paths: row.length,
    times: rows.length,
    first: row[0].path,
    last: row[row.length - 1].path,
    ...(instead.length === all.length && filesOf(all).length === 1 ? { instead } : {}),
  };
}

/** The set of returns whose number fits: the complete ones, those with any signal, or all. */
function agreeing<R extends SignalSpan>(returns: readonly R[], counts: readonly number[]) {
  const whole = returns.filter(({ missing }) => missing === undefined);
  const heard = returns.filter(({ missing }) => missing !== "all");
  return [whole, heard, returns].find(({ length }) => counts.includes(length));
}

function filesOf(returns: readonly SignalSpan[]): readonly string[] {
  return [...new Set(returns.map(({ file }) => file))];
}

/**
 * A signal without its end counts as aborted and started again if another one follows in the same
 * file; a capture without a return as that of a silent path, if the others hold one each.
 */
function likelyPlayed<R extends SignalSpan>(returns: readonly R[]): readonly R[] {
  const oneEach = [...groupBy(returns, ({ file }) => file).values()].every((g) => g.length === 1);
  const someHeard = returns.some(({ missing }) => missing !== "all");
  return returns.filter(({ missing, file }, k) => {
    if (missing === "all") return oneEach && someHeard;
    return missing !== "end" || returns[k + 1]?.file !== file;
  });
}

function placedOf<R extends SignalSpan>(
  returns: readonly R[],
  assignments: readonly Assignment<R>[],
): Placed[] {
  const pathOf = new Map(assignments.map((a) => [a.return, a.path]));
  return returns.map((one) => {
    const path = pathOf.get(one);
    return path === undefined ? { return: one } : { return: one, path };
  });
}

/** Whether a skipped path is between two others on the run sheet, or before the second. */
function toldBetween(paths: readonly DeskPath[], skipped: ReadonlySet<string>) {
  const place = new Map(paths.map(({ path }, k) => [path, k]));
  return (before: string | undefined, after: string) =>
    paths
      .slice((place.get(before ?? "") ?? -1) + 1, place.get(after))
      .some(({ path }) => skipped.has(path));
}

function unclear(
  file: string,
  {
    why,
    hint = "Say with --map which path it is, or rename the file, e.g. 07-mic.wav.",
  }: { readonly why: string; readonly hint?: string },
): DeskroundError {
  return new DeskroundError("usage", `${toDisplayName(file)}: its name ${why}.`, hint);
}

function notSilent(file: string, meant: readonly string[]): DeskroundError {
  const message = `${toDisplayName(file)}: holds a return, though ${formatList(meant)} is named silent and its name says nothing else.`;
  return new DeskroundError("usage", message, "Leave out --silent for it, or rename the file.");
}
