import { existsSync } from "node:fs";
import { join } from "node:path";
import type { OnProgress } from "../analysis/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { planPasses } from "../desk/passes.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { appendMorning, type MorningEntry, readMornings } from "../history/morning-log.js";
import type { Round } from "../history/types.js";
import { listSecondSides, withSides } from "../history/with-sides.js";
import { getReadingId, readingKinds } from "../measure/reading-kinds.js";
import type { Heard } from "../not-measured.js";
import { nameSecondSide } from "../rank/partner-path.js";
import { formatMorningSentence } from "../report/morning.js";
import { compareMornings, type MorningComparison } from "../service/morning/compare-mornings.js";
import { readCurvePoints } from "../service/morning/curve-points.js";
import { analyze } from "./analyze.js";
import { makePassSignal } from "./pass-signal.js";
import { playAndRecordOnce } from "./play-and-record.js";
import { NoReturnError } from "./read-returns.js";
import { getDate } from "./wall-time.js";

/** What `morning` is asked to do. */
export interface MorningRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  /** A recording of the pass over the wired paths; absent if deskround plays it. */
  readonly recording?: string;
  /** Hz; of the signal to play. */
  readonly sampleRate: number;
  /** Day, YYYY-MM-DD; today when absent. */
  readonly date?: string;
  /** `good`: the next mornings are compared with this one, whatever it shows. */
  readonly take: "as-judged" | "good";
}

export interface MorningResult {
  readonly entry: MorningEntry;
  readonly comparison: MorningComparison;
  /** Inputs that were not checked. */
  readonly unseen: readonly string[];
  /** Lines of the log that cannot be read. */
  readonly damaged: number;
  readonly doubts: readonly string[];
}

/**
 * A short pass over all wired paths, compared with the last good day. It adds a line to the log
 * whatever it shows; rounds are left alone.
 *
 * @throws DeskroundError `usage` if nothing is wired, or nothing can be played; whatever
 * `analyze` throws for an unusable recording
 */
export async function checkMorning(
  request: MorningRequest,
  onProgress: OnProgress,
): Promise<MorningResult> {
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const wired = listWired(desk);
  const { entries, damaged } = readMornings(folder);
  const date = getDate(request.date);
  if (request.recording === undefined) assertEnoughChannels(desk);
  const recording = request.recording ?? (await playMorning(request, folder, wired, date));
  const round = await measure(request, recording, wired, onProgress);
  if (round !== undefined) assertNotMixed(round, recording);
  // Each side of a stereo bus is compared separately, as on the last good day.
  const parted = round === undefined ? undefined : withSides(round);
  const sides = listSides(wired, round, entries);
  const measured = {
    date,
    unit: round?.calibration ? ("dBu" as const) : ("dBFS" as const),
    signal: round === undefined ? "none" : `${round.signal.profile}-${round.signal.sampleRate}`,
    paths: Object.fromEntries(
      [...wired, ...sides.keys()].map((path) => [path, figuresOf(parted, path)]),
    ),
    ...unmeasuredOf(round, wired),
    ...sumsOf(round),
  };
  const before = entries.filter((one) => one.date < date);
  // If nothing came back, the signal is unknown.
  const known = round === undefined ? withSignalOf(measured, before) : measured;
  const comparison = compareMornings(known, before, sides);
  const isGood = request.take === "good" || comparison.changes.every(({ kind }) => kind === "back");
  const entry: MorningEntry = {
    ...known,
    verdict: isGood ? "good" : "changed",
    sentence: formatMorningSentence(comparison, wired.length),
  };
  appendMorning(folder, entry);
  const inputs = desk.inputs.map(({ name }) => name);
  const seen = new Set(wired.map((path) => path.slice(path.indexOf("/") + 1)));
  return {
    entry,
    comparison,
    unseen: inputs.filter((name) => !seen.has(name)),
    damaged,
    doubts: round?.warnings ?? [],
  };
}

/**
 * Second sides of the wired paths: those of this round, and of the last good day, whose loss is a
 * change.
 */
function listSides(
  wired: readonly string[],
  round: Round | undefined,
  entries: readonly MorningEntry[],
): ReadonlyMap<string, "left" | "right"> {
  const now = new Set(round === undefined ? [] : listSecondSides(round).values());
  const good = [...entries].reverse().find(({ verdict }) => verdict === "good")?.paths ?? {};
  const sides = new Map<string, "left" | "right">();
  for (const path of wired) {
    for (const side of ["left", "right"] as const) {
      const name = nameSecondSide(path, side);
      if (now.has(name) || Object.keys(good[name] ?? {}).length > 0) sides.set(name, side);
    }
  }
  return sides;
}

function findWired(desk: Desk) {
  return planPasses(desk).passes.find(({ use }) => use === "wired");
}

/** The paths that one pass reaches without patching. */
function listWired(desk: Desk): readonly string[] {
  const first = findWired(desk);
  if (first !== undefined) return first.plays.map(({ path }) => path);
  throw new DeskroundError(
    "usage",
    "No output of desk.yaml is wired to a path, so nothing can be checked without patching.",
    "Wire some and say so, as in outputs: [1-8/tape]",
  );
}

/** Returns on more channels than are recorded would be lost, or mixed by the sound server. */
function assertEnoughChannels(desk: Desk): void {
  const plays = findWired(desk)?.plays ?? [];
  const needed = 1 + Math.max(0, ...plays.map(({ channel }) => channel ?? 0));
  const { channels = needed } = desk.audio ?? {};
  if (channels >= needed) return;
  throw new DeskroundError(
    "usage",
    `The wired paths come back on channels up to ${needed}, and audio.channels of desk.yaml records ${channels}.`,
    `Write channels: ${needed} into audio, if the input device has that many.`,
  );
}

/** Plays the short pass over the wired paths and records it. */
async function playMorning(
  { desk, sampleRate }: MorningRequest,
  folder: string,
  wired: readonly string[],
  date: string,
): Promise<string> {
  const { files } = await makePassSignal({
    desk,
    profile: "quick",
    sampleRate,
    format: "int24",
    only: wired,
    write: "new",
    files: "all",
  });
  const stem = join(folder, "recordings", "mornings", date.slice(0, 19).replace(/[T:]/g, "-"));
  let recording = `${stem}.wav`;
  for (let take = 2; existsSync(recording); take++) recording = `${stem}-${take}.wav`;
  return playAndRecordOnce({ desk, signalFile: files[0].file, recording });
}

/** Measures the wired paths as a round that is not stored; undefined if nothing came back. */
async function measure(
  { desk, date }: MorningRequest,
  recording: string,
  wired: readonly string[],
  onProgress: OnProgress,
): Promise<Round | undefined> {
  try {
    return await analyze(
      {
        desk,
        captures: [recording],
        silent: [],
        only: wired,
        keep: "preview",
        ...(date === undefined ? {} : { date }),
      },
      onProgress,
    );
  } catch (error) {
    if (error instanceof NoReturnError && error.heard.every(isSilence)) return undefined;
    throw error;
  }
}

/** Silence is a result; a signal that cannot be read is an error. */
function isSilence({ code }: Heard): boolean {
  return code === "silence" || code === "digital-silence" || code === "too-low";
}

/** Readings by which shared faults are recognised, and the level: what a morning is judged by. */
const judgedBy = new Set<string>([
  getReadingId("level"),
  getReadingId("gain"),
  ...readingKinds.flatMap(({ id, shared }) => (shared === undefined ? [] : [id])),
]);

function figuresOf(round: Round | undefined, path: string): Readonly<Record<string, number>> {
  const own = round?.paths.find((one) => one.path === path);
  if (own === undefined) return {};
  const read = Object.entries(own.readings).flatMap(([id, { value, bound }]) =>
    // A bound follows the noise, so its changes mean nothing.
    judgedBy.has(id) && bound === undefined ? [[id, roundTo(value)]] : [],
  );
  // A silent path has no response.
  const points = read.length === 0 ? {} : readCurvePoints(own);
  return {
    ...Object.fromEntries(read),
    ...Object.fromEntries(Object.entries(points).map(([key, db]) => [key, roundTo(db)])),
  };
}

/** Paths about which nothing is known; of silent ones it is known that they are silent. */
const silences: readonly (string | undefined)[] = ["nothing-back", "output-mute"];

function unmeasuredOf(
  round: Round | undefined,
  wired: readonly string[],
): Pick<MorningEntry, "unmeasured"> {
  const unmeasured = (round?.paths ?? []).flatMap(({ path, status, because }) =>
    wired.includes(path) &&
    status === "unusable" &&
    because !== undefined &&
    !silences.includes(because.code)
      ? [path]
      : [],
  );
  return unmeasured.length === 0 ? {} : { unmeasured };
}

/**
 * Rejects a mix of paths that should come back on separate channels: it compares with no other day.
 */
function assertNotMixed({ doubts = [] }: Round, recording: string): void {
  if (!doubts.some(({ code }) => code === "pass-on-one-channel" || code === "outputs-mixed"))
    return;
  throw new DeskroundError(
    "usage",
    `${recording}: it was recorded on one channel, but the wired paths come back on separate channels: a mix cannot be compared with another day.`,
    "Record one channel for each path, as the run sheet says; with --play that is `channels` of `audio` in desk.yaml.",
  );
}

function sumsOf(round: Round | undefined): Pick<MorningEntry, "sums"> {
  if (round?.sums === undefined) return {};
  const sums: Record<string, Record<string, number>> = {};
  for (const { paths, reading, value } of round.sums) {
    const key = paths.join(",");
    sums[key] = { ...sums[key], [reading]: roundTo(value) };
  }
  return { sums };
}

function withSignalOf<E extends Pick<MorningEntry, "signal" | "unit">>(
  entry: E,
  before: readonly MorningEntry[],
): E {
  const last = [...before].reverse().find(({ verdict }) => verdict === "good");
  return last === undefined ? entry : { ...entry, signal: last.signal, unit: last.unit };
}

function roundTo(value: number): number {
  return Math.round(value * 1000) / 1000;
}
