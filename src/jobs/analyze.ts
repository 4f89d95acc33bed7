import { shownName } from "../capture/open.js";
import { readSignalFile } from "../capture/signal-file.js";
import { inspectWav } from "../capture/wav.js";
import { deskFolder } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { requireClockForward } from "../history/clock.js";
import { passFolder, requireStorable, storeRound } from "../history/store.js";
import type { Round, RoundPath, UsedCalibration } from "../history/types.js";
import type { RankedInput, Silence } from "../rank/families.js";
import type { SignalTable } from "../signal/table.js";
import { toolVersion } from "../version.js";
import { ageingRemarks } from "./ageing.js";
import { applyCalibration } from "./apply-calibration.js";
import { channelKind } from "./channel-kind.js";
import { withoutCopies } from "./copies.js";
import { recordingDoubts } from "./doubts.js";
import { judge } from "./judge.js";
import { type Measured, measurePlaced } from "./measure-placed.js";
import { withoutOverlaps } from "./overlaps.js";
import { type Placed, placeReturns } from "./place-returns.js";
import { type ReadCapture, readCaptures } from "./read-captures.js";
import { readMap } from "./read-map.js";
import { captureOf, signalOf } from "./round-head.js";
import { silences } from "./silence.js";
import { silentPaths } from "./silent-paths.js";
import { stereoBus } from "./stereo-bus.js";
import {
  askedTakes,
  type Chosen,
  chooseTakes,
  otherTakes,
  roundTake,
  takeWarnings,
} from "./takes.js";
import { keepingThreads } from "./threads.js";
import type { AnalyzeRequest, OnAssigned, OnProgress } from "./types.js";
import { dateOf } from "./wall-time.js";
import { wantedPaths } from "./wanted-paths.js";

/**
 * Captures to a round: found, assigned, measured, ranked, diagnosed and, when asked, stored.
 *
 * @param onAssigned told which path each return is taken for, before anything is measured
 * @returns the round as stored; with `keep: "preview"` one of the same form under the id `preview`
 * @throws DeskroundError for anything that the person at the desk can mend; nothing is stored then
 */
export async function analyze(
  request: AnalyzeRequest,
  onProgress: OnProgress,
  onAssigned: OnAssigned = () => {},
): Promise<Round> {
  const whole = readDesk(request.desk);
  const only = request.only === undefined ? undefined : wantedPaths(request.only, whole.paths);
  const desk = only === undefined ? whole : { ...whole, paths: only };
  const silent = silentPaths(request.silent, whole.paths);
  const takes = askedTakes(request.takes ?? [], desk.paths);
  const played = request.signalFile === undefined ? undefined : playedTable(request.signalFile);
  const map = request.map === undefined ? undefined : readMap(request.map, whole.paths);
  const calibration =
    request.calibration === "leave-out"
      ? undefined
      : await readCalibration(deskFolder(request.desk));
  const date = dateOf(request.date);
  if (request.keep === "store") {
    requireStorable(deskFolder(request.desk));
    const day = date.slice(0, 10);
    if (request.date === undefined) requireClockForward(deskFolder(request.desk), day);
  }
  const channels = map?.channels ?? whole.channels;
  const kindOf = channelKind(channels, map?.entries ?? []);
  const wanted = only?.map(({ path }) => path);
  const { captures, warnings, placed, pass, recorded } = await keepingThreads(async () => {
    const read = await readCaptures(request.captures, onProgress, kindOf);
    const { captures } = read;
    const found = placeReturns(captures, whole, { map: map?.entries, silent, wanted, channels });
    onAssigned(found.assignments);
    const placed = { ...found, takes: stereoBus(found.takes) };
    const pass = isControlsPass(captures);
    const recorded = await measurePlaced(placed.takes, captures, desk, played, onProgress);
    return { ...read, placed, pass, recorded };
  });
  const applied = applyCalibration(
    withoutOverlaps(withoutCopies(recorded)),
    captures,
    desk,
    pass ? undefined : calibration,
  );
  const chosen = chooseTakes(applied.takes, takes);
  const counting = new Map([...chosen].map(([path, { counts }]) => [path, counts]));
  const doubts = [
    ...warnings,
    ...applied.warnings,
    ...placed.warnings,
    ...takeWarnings(chosen),
    ...recordingDoubts(counting, captures),
  ];
  const quiet = silences(desk.paths, recorded, placed.silenceDbfs);
  const { paths, remarks } = pass
    ? { paths: passPaths(desk, placed, chosen), remarks: [] }
    : judgePlaced(desk, placed, chosen, quiet);
  if (!paths.some(({ status, rank }) => status === "measured" || rank !== undefined)) {
    throw nothingMeasured(paths);
  }
  const judged = { ...head(request, desk, captures, applied.calibration, doubts), remarks, paths };
  const aged = await ageingRemarks(deskFolder(request.desk), { ...judged, id: "preview" });
  const round = { ...judged, remarks: [...remarks, ...aged] };
  if (request.keep === "preview") {
    const { format, version, ...rest } = round;
    return { format, version, id: "preview", ...rest };
  }
  const folder = deskFolder(request.desk);
  return storeRound(pass ? passFolder(folder) : folder, round);
}

function playedTable(file: string): SignalTable {
  return readSignalFile(inspectWav(file)).table;
}

function nothingMeasured(paths: readonly RoundPath[]): DeskroundError {
  const reasons = paths.flatMap(({ path, status, reason }) =>
    status === "unusable" ? [`${path}: ${reason}`] : [],
  );
  const more = reasons.length > 1 ? `; ${reasons.length - 1} more like it` : "";
  return new DeskroundError(
    "no-return",
    `Nothing could be measured (${reasons[0]}${more}).`,
    "Nothing was stored. Record again and analyze the new recordings.",
  );
}

/** Whether the returns are of a controls pass, which is no round to rank. */
function isControlsPass(captures: readonly ReadCapture[]): boolean {
  const all = captures.flatMap(({ found }) => found.returns);
  const passes = all.filter(({ profile }) => profile === "controls");
  if (passes.length === 0) return false;
  const other = all.find(({ profile }) => profile !== "controls");
  if (other === undefined) return true;
  throw new DeskroundError(
    "usage",
    `${shownName(passes[0].file)} holds a controls pass and ${shownName(other.file)} a return of the ${other.profile} signal.`,
    "Analyze them apart: a controls pass is not compared with siblings.",
  );
}

/** The paths of a controls pass: what each control did, nothing to rank. */
function passPaths(
  desk: Desk,
  placed: Placed,
  chosen: ReadonlyMap<string, Chosen>,
): readonly RoundPath[] {
  return desk.paths.map(({ path, strip, input, family }): RoundPath => {
    const takes = chosen.get(path);
    const one = takes?.counts;
    const unheard = one?.unheard ?? placed.unheard.get(path);
    return {
      path,
      strip,
      input,
      family,
      ...status(
        { path, family, ...(unheard === undefined ? {} : { unheard }) },
        one,
        placed.spoilt.get(path),
      ),
      ...(takes ? { take: roundTake(takes) } : {}),
      ...(takes && takes.others.length > 0 ? { otherTakes: otherTakes(takes) } : {}),
      readings: {},
      absent: one?.measurement?.absent ?? {},
      curves: {},
      ...(one?.measurement?.controls ? { controls: one.measurement.controls } : {}),
      oddness: 0,
      findings: [],
      causes: [],
    };
  });
}

function judgePlaced(
  desk: Desk,
  placed: Placed,
  chosen: ReadonlyMap<string, Chosen>,
  quiet: ReadonlyMap<string, Silence>,
): Pick<Round, "paths" | "remarks"> {
  const inputs: RankedInput[] = desk.paths.map(({ path, family }) => {
    const one = chosen.get(path)?.counts;
    const unheard = one?.unheard ?? placed.unheard.get(path);
    const silence = quiet.get(path);
    return {
      path,
      family,
      ...(one?.measurement ? { measurement: one.measurement } : {}),
      ...(unheard === undefined ? {} : { unheard }),
      ...(silence === undefined ? {} : { silence }),
    };
  });
  const judged = judge(desk, inputs);
  const paths = desk.paths.map(({ path, strip, input, family }, i): RoundPath => {
    const takes = chosen.get(path);
    const one = takes?.counts;
    const { oddness, rank, findings, causes } = judged.paths[i];
    return {
      path,
      strip,
      input,
      family,
      ...status(inputs[i], one, placed.spoilt.get(path)),
      ...(takes ? { take: roundTake(takes) } : {}),
      ...(takes && takes.others.length > 0 ? { otherTakes: otherTakes(takes) } : {}),
      readings: one?.measurement?.readings ?? {},
      absent: one?.measurement?.absent ?? {},
      curves: one?.measurement?.curves ?? {},
      ...(one?.measurement?.marks ? { marks: one.measurement.marks } : {}),
      ...(one?.measurement?.steps ? { steps: one.measurement.steps } : {}),
      ...(one?.measurement?.partner ? { partner: one.measurement.partner } : {}),
      oddness,
      ...(rank === undefined ? {} : { rank }),
      findings,
      causes,
    };
  });
  return { paths, remarks: judged.remarks };
}

function status(
  input: RankedInput,
  one: Measured | undefined,
  spoilt: string | undefined,
): Pick<RoundPath, "status" | "reason"> {
  if (one?.measurement) return { status: "measured" };
  if (input.unheard !== undefined) {
    return { status: "unusable", reason: `nothing of the signal came back (${input.unheard})` };
  }
  const unusable = one?.unusable ?? spoilt;
  if (unusable !== undefined) return { status: "unusable", reason: unusable };
  return { status: "missing", reason: "no return belongs to it" };
}

function head(
  request: AnalyzeRequest,
  desk: Desk,
  captures: readonly ReadCapture[],
  calibration: UsedCalibration | undefined,
  warnings: readonly string[],
): Omit<Round, "id" | "paths" | "remarks"> {
  const heard = captures.flatMap(({ found, info }) =>
    found.returns.map((one) => ({ one, sampleRate: info.sampleRate })),
  );
  const { one, sampleRate } = heard[0];
  return {
    format: "deskround-round",
    version: 1,
    desk: { name: desk.name, mainsHz: desk.mainsHz },
    date: dateOf(request.date),
    tool: { name: "deskround", version: toolVersion },
    signal: signalOf(one, sampleRate),
    calibration: calibration ?? null,
    ...(request.only === undefined ? {} : { partial: { wanted: desk.paths.map((p) => p.path) } }),
    captures: captures.map(captureOf),
    warnings,
  };
}
