import {
  type AssignmentResult,
  assignReturns,
  type PathMapEntry,
} from "../../capture/assign/assign-returns.js";
import { findSplitRecordings } from "../../capture/assign/split-recordings.js";
import { toDisplayName } from "../../capture/containers/open-file.js";
import type { SearchResult } from "../../capture/find/find-returns.js";
import { isInvalidWithin } from "../../capture/find/invalid-samples.js";
import type {
  Assignment,
  IncompleteReturn,
  RecordingInfo,
  SignalReturn,
  SignalSpan,
  UnheardCapture,
} from "../../capture/types.js";
import { planControlStops } from "../../desk/control-stops.js";
import type { Desk, DeskPath } from "../../desk/types.js";
import type { AssignedBy, Doubt, DoubtCode } from "../../doubt.js";
import { DeskroundError } from "../../errors.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import type { LoudSound } from "../../rank/family-stats.js";
import { formatList } from "../../text/format-list.js";
import { groupBy } from "../../text/group-by.js";
import { formatCommand } from "../../text/program-name.js";
import { listCaptureDoubts, withDoubtsInErrors } from "../read/capture-doubts.js";
import { describeIncomplete } from "../read/describe-incomplete.js";
import { explainNoReturnOnChannel, findCutShort } from "../read/no-return.js";
import type { ReadCapture } from "../read/read-captures.js";
import { validateOrder } from "./capture-order.js";
import { type PlayedPasses, placePasses, type WantedPasses } from "./place-passes.js";

/** The returns of each path, and why other paths have none. */
export interface ReturnsByPath {
  /** The assignment of every return, complete or not. */
  readonly assignments: readonly Assignment<SignalSpan>[];
  /** Path to its returns, one or several: its takes, the latest last. */
  readonly takes: ReadonlyMap<string, readonly SignalReturn[]>;
  /** Path to what was heard instead of a return, if that is a fault of the path. */
  readonly unheard: ReadonlyMap<string, NothingBack>;
  /** Path to the sound that its capture has instead of a return. */
  readonly instead: ReadonlyMap<string, LoudSound>;
  /** Path to the fault of its capture. */
  readonly spoilt: ReadonlyMap<string, NotMeasured>;
  readonly doubts: readonly Doubt[];
  /** Passes played; absent if none. */
  readonly passes?: PlayedPasses;
}

/** What the user says about the assignment. */
export interface GroupOptions {
  readonly map?: readonly PathMapEntry[] | undefined;
  /** Paths that returned nothing. */
  readonly silent: readonly string[];
  /** Paths that each channel of a multichannel capture may hold. */
  readonly channels?: readonly (readonly string[])[] | undefined;
  /** Paths requested; all when undefined. */
  readonly wanted?: readonly string[] | undefined;
  /** Which passes were recorded, if several outputs played; see {@link WantedPasses}. */
  readonly wantedPasses?: WantedPasses["passes"] | undefined;
}

type Candidate = SignalReturn | IncompleteReturn | UnheardCapture;

/**
 * Decides which path each return belongs to and collects every doubt about it. Incomplete returns,
 * and captures without any, count as the turn of a path if they probably were.
 *
 * @throws DeskroundError `usage`, with the doubts about the captures
 */
export function groupReturns(
  captures: readonly ReadCapture[],
  desk: Desk,
  options: GroupOptions,
): ReturnsByPath {
  return withDoubtsInErrors(captures, () => place(captures, desk, options));
}

function place(
  captures: readonly ReadCapture[],
  desk: Desk,
  { map, silent, wanted, wantedPasses = "planned", channels }: GroupOptions,
): ReturnsByPath {
  const some = wanted === undefined ? undefined : { paths: wanted, passes: wantedPasses };
  const passes = map === undefined ? placePasses(captures, desk, some) : undefined;
  const isOfPass = (file: string) => passes?.files.has(file) ?? false;
  const candidates = captures.flatMap((one) =>
    isOfPass(one.info.file)
      ? one.found.returns.filter(({ output }) => output === undefined)
      : candidatesOf(one, channels ?? []),
  );
  const inPasses = new Set(passes?.assignments.map(({ path }) => path) ?? []);
  const spokenFor = new Set([...inPasses, ...(passes?.unheard.keys() ?? [])]);
  const apart = new Set(
    captures.filter((one) => one.channels === "paths").map(({ info }) => info.file),
  );
  const channelPaths = (file: string, channel: number) =>
    channels !== undefined && apart.has(file) ? (channels[channel] ?? []) : undefined;
  const parts = findSplitRecordings(
    captures.map(({ info, found }) => ({
      info,
      returns: found.returns.length + found.cuts.length,
    })),
  );
  const partOf = (file: string) => parts.get(file);
  const patterns = desk.captures;
  // A controls pass is played without the reference path.
  const isPass = candidates.some(({ profile }) => profile === "controls");
  const reference = isPass ? undefined : desk.referencePath?.name;
  const options = { map, skipped: silent, wanted, channelPaths, partOf, patterns, reference };
  const listed = isPass && map === undefined ? listStopPaths(candidates, desk, wanted) : desk.paths;
  const alone = assignReturns(
    candidates,
    listed.filter(({ path }) => !spokenFor.has(path)),
    { ...options, skipped: silent.filter((path) => !spokenFor.has(path)) },
  );
  const assigned =
    passes === undefined
      ? alone
      : {
          ...alone,
          assignments: [...passes.assignments, ...alone.assignments],
          unassigned: [...alone.unassigned, ...passes.unassigned],
        };
  const orderDoubts = validateOrder(assigned, captures);
  checkSilent(assigned, silent);

  const takes = new Map<string, SignalReturn[]>();
  const others = new Map<string, IncompleteReturn | UnheardCapture>();
  for (const { path, return: one } of assigned.assignments) {
    if (isWhole(one)) takes.set(path, [...(takes.get(path) ?? []), one]);
    else others.set(path, one);
  }
  if (takes.size === 0) {
    if (passes !== undefined && passes.spoilt.size > 0) throw nothingInPlace(captures);
    throw nothingPlaced(
      captures,
      map !== undefined ? "map" : silent.length === 0 && wanted !== undefined ? "wanted" : "silent",
    );
  }

  const byFile = new Map(captures.map((capture) => [capture.info.file, capture]));
  const insteadOf = ({ file, channel }: Candidate) => {
    const capture = byFile.get(file);
    if (capture?.channels !== "paths") return capture?.instead;
    return explainNoReturnOnChannel(capture.found.heard[channel]);
  };
  const unheard = new Map<string, NothingBack>([
    ...silent.map((path) => [path, { code: "named-silent" }] as const),
    ...(passes?.unheard ?? []),
  ]);
  const spoilt = new Map<string, NotMeasured>(passes?.spoilt);
  const instead = new Map<string, LoudSound>();
  for (const [path, one] of others) {
    if (takes.has(path)) continue;
    if (one.missing !== "all") {
      spoilt.set(path, reasonOf(one, byFile.get(one.file)));
      continue;
    }
    const found = insteadOf(one);
    if (found === undefined) continue;
    const { heard, cut, blame, levelDbfs, crestDb = 0, clippedShare = 0 } = found;
    if (blame === "path") {
      unheard.set(path, heard);
      if (levelDbfs !== undefined) instead.set(path, { levelDbfs, crestDb, clippedShare });
    } else if (cut === undefined) spoilt.set(path, { code: "no-return", heard });
    else spoilt.set(path, { code: "cut-short", cut, heard });
  }
  const doubts = [
    ...listCaptureDoubts(captures),
    ...orderDoubts,
    ...captures.flatMap(listVersionDoubts),
    ...captures.flatMap((capture) => listLostDoubts(capture, assigned, takes)),
    ...(passes?.doubts ?? []),
    ...assigned.doubts,
    ...listUnassignedDoubts(passes === undefined ? assigned : alone),
  ];
  // Order of the command line, not of the decisions; returns played at once by channel.
  const turn = new Map(captures.map(({ info }, k) => [info.file, k]));
  const second = ({ file, startSample }: Candidate) =>
    Math.round(startSample / (byFile.get(file)?.info.sampleRate ?? 1));
  const assignments = [...assigned.assignments].sort(
    ({ return: a }, { return: b }) =>
      (turn.get(a.file) ?? 0) - (turn.get(b.file) ?? 0) ||
      second(a) - second(b) ||
      a.channel - b.channel ||
      a.startSample - b.startSample,
  );
  const played = passes === undefined ? {} : { passes: passes.played };
  return { assignments, takes, unheard, instead, spoilt, doubts, ...played };
}

/**
 * The paths of a controls pass, in order, if its returns have the planned numbers of windows; all
 * of the desk if every control is moved on every path.
 */
function listStopPaths(
  candidates: readonly Candidate[],
  desk: Desk,
  wanted: readonly string[] | undefined,
): readonly DeskPath[] {
  const paths =
    wanted === undefined ? desk.paths : desk.paths.filter(({ path }) => wanted.includes(path));
  const stops = planControlStops(desk, paths);
  const windows = candidates.flatMap((one) => (one.windows === undefined ? [] : [one.windows]));
  const fits =
    windows.length <= stops.length &&
    windows.every((count, k) => count === stops[k].controls.length);
  return fits ? stops.map(({ path }) => path) : desk.paths;
}

/** The returns of a capture, complete or not; the capture itself if no marker was found. */
function candidatesOf(
  { found, info, channels, goesOn }: ReadCapture,
  list: readonly (readonly string[])[],
): readonly Candidate[] {
  const { returns, cuts } = found;
  if (returns.length + cuts.length > 0 || goesOn) {
    return channels === "paths"
      ? [...returns, ...cuts, ...silentChannels(found, info, list)]
      : [...returns, ...cuts];
  }
  const { file, frames } = info;
  return [{ file, channel: 0, startSample: 0, lengthSamples: frames, missing: "all" }];
}

/**
 * Channels without a return where most others had one at the same moment: the signal was played
 * into all of them. If it was played into one after the other, a channel may have had its turn
 * elsewhere, unless there were as many turns with nothing but crosstalk.
 */
function silentChannels(
  { returns, cuts, idleTurns = 0 }: SearchResult,
  info: RecordingInfo,
  list: readonly (readonly string[])[],
): readonly UnheardCapture[] {
  const heard = new Set([...returns, ...cuts].map(({ channel }) => channel));
  const at = ({ startSample }: SignalReturn) => Math.round(startSample / info.sampleRate);
  const together = Math.max(0, ...[...groupBy(returns, at).values()].map(({ length }) => length));
  const used = Array.from({ length: info.channels }, (_, channel) => channel).filter(
    (channel) => (list[channel] ?? []).length > 0,
  );
  const lacking = used.filter((channel) => !heard.has(channel));
  const inTurn = idleTurns > 0 && idleTurns === lacking.length;
  if (2 * together <= used.length && !inTurn) return [];
  return lacking.map((channel) => ({
    file: info.file,
    channel,
    startSample: 0,
    lengthSamples: info.frames,
    missing: "all",
  }));
}

function isWhole(one: Candidate): one is SignalReturn {
  return one.missing === undefined;
}

/** Why a return is incomplete, e.g. a marker was lost because samples are not finite. */
function reasonOf(cut: IncompleteReturn, capture: ReadCapture | undefined): NotMeasured {
  const { channel, startSample, lengthSamples } = cut;
  const bad = capture?.found.heard[channel].bad ?? [];
  if (isInvalidWithin(bad, startSample, startSample + lengthSamples)) {
    return { code: "invalid-samples" };
  }
  const part = describeIncomplete(cut, capture?.info.sampleRate ?? 1);
  const short = cut.missing === "end" ? findCutShort(capture?.info.doubts ?? []) : undefined;
  return short === undefined
    ? { code: "incomplete", part }
    : { code: "cut-short", cut: short, heard: { code: "incomplete", part } };
}

/** Doubts about each incomplete return, and each capture or channel without one. */
function listLostDoubts(
  { found, info, instead, goesOn }: ReadCapture,
  assigned: AssignmentResult<Candidate>,
  takes: ReturnsByPath["takes"],
): readonly Doubt[] {
  const { file, sampleRate } = info;
  const own = assigned.assignments.filter(({ return: r }) => r.file === file);
  if (found.returns.length + found.cuts.length === 0) {
    if (goesOn || instead === undefined) return [];
    const place = own.find(({ return: r }) => r.missing === "all");
    if (place !== undefined && place.by !== "order" && !takes.has(place.path)) return [];
    const path = place?.by === "order" ? { path: place.path } : {};
    return [{ code: "no-return", file, instead: instead.heard, ...path }];
  }
  const silent = own.flatMap(({ path, return: r }): readonly Doubt[] => {
    const [whole] = takes.get(path) ?? [];
    if (r.missing !== "all" || whole === undefined) return [];
    return [{ code: "silent-channel", file, channel: r.channel, path, otherFile: whole.file }];
  });
  const inTurn = new Set(own.map(({ path }) => path)).size > 1;
  const cut = found.cuts.flatMap((one): readonly Doubt[] => {
    const what = {
      code: "incomplete-return",
      file,
      part: describeIncomplete(one, sampleRate),
    } as const;
    const place = own.find(({ return: r }) => r === one);
    if (place === undefined) return [what];
    const ordered = place.by === "order" || (place.by === "name" && inTurn);
    const [whole] = takes.get(place.path) ?? [];
    if (whole === undefined && !ordered) return [];
    const by: AssignedBy = ordered ? "order" : place.by;
    const wholeIn = whole === undefined ? {} : { wholeIn: whole.file };
    return [{ ...what, path: place.path, by, ...wholeIn }];
  });
  return [...silent, ...cut];
}

/** Doubt that a capture also has a signal of another version. */
function listVersionDoubts({ found, info }: ReadCapture): readonly Doubt[] {
  if (found.strange === 0 || found.returns.length === 0) return [];
  return [{ code: "other-version", file: info.file }];
}

/** Doubts saying that returns were left out. */
const saysLeftOut: ReadonlySet<DoubtCode> = new Set([
  "more-returns-than-paths",
  "not-in-map",
  "channel-without-path",
]);

/**
 * Surplus returns of a list are reported by the assignment; this reports other returns left out.
 */
function listUnassignedDoubts({
  unassigned,
  doubts,
}: AssignmentResult<Candidate>): readonly Doubt[] {
  if (unassigned.length === 0 || doubts.some(({ code }) => saysLeftOut.has(code))) return [];
  return [{ code: "without-path", returns: unassigned.length }];
}

function checkSilent(
  { assignments }: AssignmentResult<Candidate>,
  silent: readonly string[],
): void {
  const odd = assignments.find((a) => silent.includes(a.path) && a.return.missing !== "all");
  if (odd === undefined) return;
  throw new DeskroundError(
    "usage",
    `${odd.path} is named silent, but the map gives it a return in ${toDisplayName(odd.return.file)}.`,
    "Leave it out of --silent, or out of the map (a `-` leaves a return out).",
  );
}

/** Error if every return of the passes came back on another path's channel. */
function nothingInPlace(captures: readonly ReadCapture[]): DeskroundError {
  const files = formatList(captures.map(({ info }) => toDisplayName(info.file)));
  return new DeskroundError(
    "usage",
    `${files}: no path of these passes came back on its channel of the run sheet.`,
    "Were channels swapped at the interface or the recorder, or is their order reversed? Connect them as on the sheet and record again, or change buses or channels in desk.yaml to what they are.",
  );
}

function nothingPlaced(
  captures: readonly ReadCapture[],
  why: "silent" | "map" | "wanted",
): DeskroundError {
  const files = formatList(captures.map(({ info }) => toDisplayName(info.file)));
  if (why === "wanted") {
    return new DeskroundError(
      "usage",
      `${files}: holds returns, but none of the paths requested.`,
      `Name recordings of those paths, or others with --only; a re-test needs those of \`${formatCommand("plan --retest")}\`.`,
    );
  }
  return why === "map"
    ? new DeskroundError(
        "usage",
        "The map leaves out every whole return, so nothing can be measured.",
        "Write a path in place of a `-` for each return that counts.",
      )
    : new DeskroundError(
        "usage",
        `${files}: holds returns, but --silent leaves no path for them.`,
        "Name only paths as silent that returned nothing.",
      );
}
