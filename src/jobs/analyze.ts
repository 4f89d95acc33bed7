import { formatAgeingRemarks } from "../analysis/judge/ageing-remarks.js";
import { computeEmptyCaptureNoise } from "../analysis/judge/empty-capture-noise.js";
import { rankAndDiagnose } from "../analysis/judge/rank-and-diagnose.js";
import { groupReturns, type ReturnsByPath } from "../analysis/place/group-returns.js";
import { readMap } from "../analysis/place/read-map.js";
import { parseSilentPaths } from "../analysis/place/silent-paths.js";
import { findStereoBus } from "../analysis/place/stereo-bus.js";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import { getChannelKind } from "../analysis/read/channel-kind.js";
import { type ReadCapture, readCaptures } from "../analysis/read/read-captures.js";
import { buildRoundCapture, buildRoundSignal } from "../analysis/read/round-head.js";
import { applyCalibration } from "../analysis/takes/apply-calibration.js";
import {
  buildOtherTakes,
  buildRoundTake,
  type ChosenTake,
  chooseTakes,
  formatTakeWarnings,
  parseAskedTakes,
} from "../analysis/takes/choose-takes.js";
import { dropCopies } from "../analysis/takes/copies.js";
import { type MeasuredTake, measureTakes } from "../analysis/takes/measure-takes.js";
import { dropOverlaps } from "../analysis/takes/overlaps.js";
import { listRecordingWarnings } from "../analysis/takes/recording-warnings.js";
import type { OnAssigned, OnProgress } from "../analysis/types.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { toDisplayName } from "../capture/containers/open-file.js";
import { readSignalFile } from "../capture/signal-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertClockForward } from "../history/clock.js";
import { assertStorable, getControlsPassFolder, storeRound } from "../history/store.js";
import type { Round, RoundPath, UsedCalibration } from "../history/types.js";
import type { EmptyCaptureNoise, PathToRank } from "../rank/family-stats.js";
import type { SignalTable } from "../signal/types.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { toolVersion } from "../version.js";
import type { AnalyzeRequest } from "./types.js";
import { getDate } from "./wall-time.js";

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
  const only = request.only === undefined ? undefined : parseWantedPaths(request.only, whole.paths);
  const desk = only === undefined ? whole : { ...whole, paths: only };
  const silent = parseSilentPaths(request.silent, whole.paths);
  const takes = parseAskedTakes(request.takes ?? [], desk.paths);
  const played = request.signalFile === undefined ? undefined : playedTable(request.signalFile);
  const map = request.map === undefined ? undefined : readMap(request.map, whole.paths);
  const calibration =
    request.calibration === "leave-out"
      ? undefined
      : await readCalibration(getDeskFolder(request.desk));
  const date = getDate(request.date);
  if (request.keep === "store") {
    assertStorable(getDeskFolder(request.desk));
    const day = date.slice(0, 10);
    if (request.date === undefined) assertClockForward(getDeskFolder(request.desk), day);
  }
  const channels = map?.channels ?? whole.channels;
  const kindOf = getChannelKind(channels, map?.entries ?? []);
  const wanted = only?.map(({ path }) => path);
  const { captures, warnings, placed, pass, recorded } = await withThreadPool(async () => {
    const read = await readCaptures(request.captures, onProgress, kindOf);
    const { captures } = read;
    const found = groupReturns(captures, whole, { map: map?.entries, silent, wanted, channels });
    onAssigned(found.assignments);
    const placed = { ...found, takes: findStereoBus(found.takes) };
    const pass = isControlsPass(captures);
    const recorded = await measureTakes(placed.takes, captures, desk, played, onProgress);
    return { ...read, placed, pass, recorded };
  });
  const applied = applyCalibration(
    dropOverlaps(dropCopies(recorded)),
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
    ...formatTakeWarnings(chosen),
    ...listRecordingWarnings(counting, captures),
  ];
  const quiet = computeEmptyCaptureNoise(desk.paths, recorded, placed.silenceDbfs);
  const { paths, remarks } = pass
    ? { paths: passPaths(desk, placed, chosen), remarks: [] }
    : judgePlaced(desk, placed, chosen, quiet);
  if (!paths.some(({ status, rank }) => status === "measured" || rank !== undefined)) {
    throw nothingMeasured(paths);
  }
  const judged = { ...head(request, desk, captures, applied.calibration, doubts), remarks, paths };
  const aged = await formatAgeingRemarks(getDeskFolder(request.desk), { ...judged, id: "preview" });
  const round = { ...judged, remarks: [...remarks, ...aged] };
  if (request.keep === "preview") {
    const { format, version, ...rest } = round;
    return { format, version, id: "preview", ...rest };
  }
  const folder = getDeskFolder(request.desk);
  return storeRound(pass ? getControlsPassFolder(folder) : folder, round);
}

function playedTable(file: string): SignalTable {
  return readSignalFile(inspectRecording(file)).table;
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
    `${toDisplayName(passes[0].file)} holds a controls pass and ${toDisplayName(other.file)} a return of the ${other.profile} signal.`,
    "Analyze them apart: a controls pass is not compared with siblings.",
  );
}

/** The paths of a controls pass: what each control did, nothing to rank. */
function passPaths(
  desk: Desk,
  placed: ReturnsByPath,
  chosen: ReadonlyMap<string, ChosenTake>,
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
      ...(takes ? { take: buildRoundTake(takes) } : {}),
      ...(takes && takes.others.length > 0 ? { otherTakes: buildOtherTakes(takes) } : {}),
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
  placed: ReturnsByPath,
  chosen: ReadonlyMap<string, ChosenTake>,
  quiet: ReadonlyMap<string, EmptyCaptureNoise>,
): Pick<Round, "paths" | "remarks"> {
  const inputs: PathToRank[] = desk.paths.map(({ path, family }) => {
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
  const judged = rankAndDiagnose(desk, inputs);
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
      ...(takes ? { take: buildRoundTake(takes) } : {}),
      ...(takes && takes.others.length > 0 ? { otherTakes: buildOtherTakes(takes) } : {}),
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
  input: PathToRank,
  one: MeasuredTake | undefined,
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
    desk: {
      ...(desk.id === undefined ? {} : { id: desk.id }),
      name: desk.name,
      mainsHz: desk.mainsHz,
    },
    date: getDate(request.date),
    tool: { name: "deskround", version: toolVersion },
    signal: buildRoundSignal(one, sampleRate),
    calibration: calibration ?? null,
    ...(request.only === undefined ? {} : { partial: { wanted: desk.paths.map((p) => p.path) } }),
    captures: captures.map(buildRoundCapture),
    warnings,
  };
}
