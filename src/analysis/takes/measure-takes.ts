import { toDisplayName } from "../../capture/containers/open-file.js";
import { openSamples } from "../../capture/containers/open-samples.js";
import type { SampleReader } from "../../capture/containers/sample-reader.js";
import { buildReturnTable } from "../../capture/find/return-table.js";
import { computeSlip, type Slip } from "../../capture/find/slip.js";
import { sliceReturn } from "../../capture/slice-return.js";
import type { RecordingInfo, SignalReturn } from "../../capture/types.js";
import { listControlChoices } from "../../desk/control-stops.js";
import type { Desk } from "../../desk/types.js";
import { amplitudeToDb } from "../../dsp/decibels.js";
import { DeskroundError } from "../../errors.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { Measurement, ReturnEvent } from "../../measure/types.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import { buildMoves } from "../../signal/moves.js";
import { buildSignalTable } from "../../signal/signal-table.js";
import type { SignalBand, SignalTable } from "../../signal/types.js";
import { formatCount } from "../../text/format-count.js";
import { closeThreadFiles } from "../../threads/thread-files.js";
import { runOnThreads, type ThreadJob } from "../../threads/thread-pool.js";
import type { ReturnsByPath } from "../place/group-returns.js";
import type { ReadCapture } from "../read/read-captures.js";
import type { OnProgress } from "../types.js";
import {
  type MeasuredReturn,
  type MeasureTask,
  type RecordingFlag,
  runMeasureTask,
} from "./measure-task.js";

/** A take's measurement, or why it could not be used. */
export interface MeasuredTake {
  readonly found: SignalReturn;
  readonly measurement?: Measurement;
  readonly doubts?: readonly RecordingFlag[];
  /** Identifies copies; absent if it was not measured. */
  readonly fingerprint?: string;
  /** A fault of the capture. */
  readonly unusable?: NotMeasured;
  /** Set if almost nothing came through: a fault of the path. */
  readonly unheard?: NothingBack;
}

/** Path to its takes, the latest last. */
export type MeasuredTakes = ReadonlyMap<string, readonly MeasuredTake[]>;

/**
 * Measures every take of every path.
 *
 * @param takes of each path
 * @param played the signal that was played, when the user names it
 * @returns the same takes, measured
 * @throws DeskroundError `usage` for a return of another signal than the one named
 */
export async function measureTakes(
  takes: ReturnsByPath["takes"],
  captures: readonly Pick<ReadCapture, "info">[],
  desk: Desk,
  played: SignalTable | undefined,
  onProgress: OnProgress,
): Promise<MeasuredTakes> {
  const infos = new Map(captures.map(({ info }) => [info.file, info]));
  const infoOf = ({ file }: SignalReturn): RecordingInfo => {
    const info = infos.get(file);
    if (info === undefined) throw new Error(`a return in ${file}, which is no capture`);
    return info;
  };
  const pathOf = new Map([...takes].flatMap(([path, own]) => own.map((one) => [one, path])));
  const whole = [...takes.values()].flat().filter((one) => one.slipSamples === undefined);
  const tasks = whole.map((found) => ({
    info: infoOf(found),
    found,
    table: tableOf(found, desk, played, pathOf.get(found)),
    mainsHz: desk.mainsHz,
  }));
  const results = await measureReturns(tasks, onProgress);
  const resultOf = new Map(whole.map((found, i) => [found, results[i]]));
  const measured = async (found: SignalReturn): Promise<MeasuredTake> => {
    const result = resultOf.get(found);
    if (result !== undefined) {
      return { found, fingerprint: result.fingerprint, ...usable(result, found) };
    }
    const info = infoOf(found);
    return { found, unusable: await slipped(found, info, desk, played) };
  };
  const all = new Map<string, readonly MeasuredTake[]>();
  for (const [path, own] of takes) {
    const done: MeasuredTake[] = [];
    for (const one of own) done.push(await measured(one));
    all.set(path, done);
  }
  return all;
}

const measuring: ThreadJob<MeasureTask, MeasuredReturn> = {
  module: new URL("./measure-task.js", import.meta.url),
  run: runMeasureTask,
  tidy: closeThreadFiles,
};

/** Measures any number of returns, on several threads if worthwhile. */
export async function measureReturns(tasks: readonly MeasureTask[], onProgress: OnProgress) {
  return runOnThreads(measuring, tasks, (done) =>
    onProgress({ stage: "measuring", done, total: tasks.length }),
  );
}

/** The table of the signal that a return's markers identify. */
function tableOf(
  found: SignalReturn,
  desk: Desk,
  played: SignalTable | undefined,
  path?: string,
): SignalTable {
  if (found.windows !== undefined) return passTable(found, found.windows, desk, played, path);
  const { profile, band, signalVersion, output } = found;
  if (played === undefined) return buildReturnTable(found);
  if (played.profile === profile && played.version === signalVersion && played.band === band) {
    return output === undefined ? played : buildReturnTable(found);
  }
  throw otherSignal(found, played);
}

/** The table of a controls pass: its controls are named by the file played, or by the desk. */
function passTable(
  found: SignalReturn,
  windows: number,
  desk: Desk,
  played: SignalTable | undefined,
  path: string | undefined,
): SignalTable {
  if (played !== undefined && (played.profile !== "controls" || played.band !== found.band)) {
    throw otherSignal(found, played);
  }
  const own = desk.paths.find((one) => one.path === path);
  const choices = own === undefined ? [] : listControlChoices(desk, own.input);
  const moved = choices.find(({ length }) => length === windows) ?? desk.controls;
  const table =
    played ?? buildSignalTable(found.profile, found.band, buildMoves(moved), found.signalVersion);
  const named = table.segments.filter(({ kind }) => kind === "tone").length - 1;
  if (named === windows) return table;
  throw new DeskroundError(
    "usage",
    `${found.file}: holds a controls pass that moves ${formatCount(windows, "control")}, but ${played === undefined ? "desk.yaml names" : "the signal named moves"} ${named}.`,
    "Name the signal file that was played with --signal: its labels name the controls.",
  );
}

function otherSignal(found: SignalReturn, played: SignalTable): DeskroundError {
  const band = (one: SignalBand) => (found.band === played.band ? "" : ` ${bandWords[one]}`);
  return new DeskroundError(
    "usage",
    `${toDisplayName(found.file)}: holds a return of the ${found.profile} signal${band(found.band)}, not of the ${played.profile} one${band(played.band)} named with --signal.`,
    "Name the signal file that was played, or leave --signal out: the markers identify the signal.",
  );
}

/** Signals of one profile differ by the sample rate that they were made for. */
const bandWords: Readonly<Record<SignalBand, string>> = {
  base: "for 44.1 and 48 kHz (band base)",
  wide: "for 88.2 kHz and up (band wide)",
};

/** Why a return whose markers are too far apart or too close is unusable. */
async function slipped(
  found: SignalReturn,
  info: RecordingInfo,
  desk: Desk,
  played: SignalTable | undefined,
): Promise<NotMeasured> {
  const reader = await openSamples(info);
  try {
    sliceReturn(reader, found);
    if (reader.badSamples > 0) return { code: "invalid-samples" };
    return describeSlip(slipIn(reader, found, desk, played), info.sampleRate);
  } finally {
    reader.close();
  }
}

/** What the recorder lost or repeated, and when, if the length of the pass is known. */
function slipIn(
  reader: SampleReader,
  found: SignalReturn,
  desk: Desk,
  played: SignalTable | undefined,
): Slip {
  if (found.windows !== undefined) return { samples: found.slipSamples ?? 0 };
  return computeSlip(reader, found, tableOf(found, desk, played));
}

function describeSlip({ samples, betweenS, longerPpm }: Slip, sampleRate: number): NotMeasured {
  if (longerPpm !== undefined) return { code: "other-speed", longerPpm };
  const between = betweenS === undefined ? {} : { between: betweenS };
  return { code: "slip", samples, sampleRate, ...between };
}

/** Samples lost or repeated in a return. */
function describeDropout(marks: readonly ReturnEvent[]): NotMeasured | undefined {
  const [first, ...more] = marks.filter((m) => m.kind === "dropout");
  if (first === undefined) return undefined;
  const { what, samples, atS, untilS } = first;
  return { code: "dropout", what, samples, between: [atS, untilS], more: more.length };
}

/** dB; if no tone can be measured in a return this weak, the path passes nothing. */
const unheardDb = -30;

function usable(
  { measurement, doubts }: MeasuredReturn,
  found: SignalReturn,
): Omit<MeasuredTake, "found"> {
  const { readings, absent, curves, marks } = measurement;
  if (doubts.includes("bad-samples")) return { unusable: { code: "invalid-samples" } };
  const lost = describeDropout(marks ?? []);
  if (lost !== undefined) return { unusable: lost };
  if (measurement.controls !== undefined) return { measurement, doubts };
  if (readings[getReadingId("gain")] !== undefined || curves.response !== undefined)
    return { measurement, doubts };
  const level = amplitudeToDb(found.gain);
  if (level < unheardDb) {
    return { unheard: { code: "trace", levelDb: level } };
  }
  const absence = absent.controls ?? absent[getReadingId("gain")] ?? absent.response;
  const because = absence === undefined ? {} : { because: absence };
  if (!doubts.includes("clipped")) return { unusable: { code: "unreadable", ...because } };
  const mark = marks?.find((m) => m.kind === "clipped");
  const clipped = mark === undefined ? {} : { fromS: mark.atS };
  return { unusable: { code: "unreadable", ...because, clipped } };
}
