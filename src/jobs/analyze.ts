import { buildDeskReference } from "../analysis/judge/desk-reference.js";
import { findEarlierRound } from "../analysis/judge/find-earlier-round.js";
import { type JudgedPaths, judgeTakes, listPassPaths } from "../analysis/judge/judge-takes.js";
import { listFamiliesPastLimits } from "../analysis/judge/list-families-past-limits.js";
import { listOrderDoubts } from "../analysis/judge/list-order-doubts.js";
import { listPolarityDoubts } from "../analysis/judge/list-polarity-doubts.js";
import { judgePassSums, listSumRemarks, partSums } from "../analysis/judge/part-sums.js";
import { listFedAlone } from "../analysis/judge/pass-parts.js";
import {
  buildReferenceContext,
  buildRoundReference,
  listReferenceDoubts,
} from "../analysis/judge/reference-path.js";
import { placeCaptures } from "../analysis/place/place-captures.js";
import type { PlayedPasses } from "../analysis/place/place-passes.js";
import { readMap } from "../analysis/place/read-map.js";
import { parseSilentPaths } from "../analysis/place/silent-paths.js";
import { parseWantedPaths } from "../analysis/place/wanted-paths.js";
import { getChannelKind } from "../analysis/read/channel-kind.js";
import type { ReadCapture } from "../analysis/read/read-captures.js";
import { buildRoundCapture, buildRoundSignal } from "../analysis/read/round-head.js";
import { parseAskedTakes } from "../analysis/takes/choose-takes.js";
import { measureTakes } from "../analysis/takes/measure-takes.js";
import { takeMeasurements } from "../analysis/takes/take-measurements.js";
import type { OnAssigned, OnProgress } from "../analysis/types.js";
import { inspectRecording } from "../capture/containers/inspect-recording.js";
import { toDisplayName } from "../capture/containers/open-file.js";
import { readSignalFile } from "../capture/signal-file.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { readDesk } from "../desk/read/read-desk.js";
import { toReferenceEntry } from "../desk/reference-path.js";
import type { Desk, DeskPath } from "../desk/types.js";
import type { Doubt } from "../doubt.js";
import { DeskroundError } from "../errors.js";
import { readCalibration } from "../history/calibration.js";
import { assertClockForward } from "../history/clock.js";
import { readFacts } from "../history/facts/read-facts.js";
import { readPreviousRound } from "../history/previous-round.js";
import { findSameRecordings } from "../history/same-recordings.js";
import {
  assertHeld,
  assertStorable,
  getControlsPassFolder,
  holdFolder,
  listRounds,
  readRound,
  storeRound,
} from "../history/store.js";
import type { Round, RoundPath, UsedCalibration } from "../history/types.js";
import { writeWithdrawn } from "../history/withdrawn.js";
import { formatDoubt } from "../report/doubts/format-doubt.js";
import { wordDoubt } from "../report/doubts/word-doubt.js";
import { formatRemark } from "../report/remarks/format-remark.js";
import { wordPath, wordReference } from "../report/word-path.js";
import type { SignalTable } from "../signal/types.js";
import { formatCommand, writeForAnywhere } from "../text/program-name.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { toolVersion } from "../version.js";
import { readReturns } from "./read-returns.js";
import { reportReading } from "./report-reading.js";
import { getDate } from "./wall-time.js";

/** What `analyze` is asked to do. */
export interface AnalyzeRequest {
  /** Folder that holds desk.yaml and rounds/, or the desk file itself. */
  readonly desk: string;
  /** Capture files in the order they were recorded. */
  readonly captures: readonly string[];
  /**
   * Which path each return belongs to, where neither the run sheet's order nor the file names say
   * it: a list `1/mic,2/mic`, or the name of a text file with one path per line.
   */
  readonly map?: string;
  /** Paths that were patched but returned nothing; they keep their place in the order. */
  readonly silent: readonly string[];
  /**
   * Strips (`7`), paths (`7/mic`) or inputs (`mic`) to analyze; this makes a partial round. The
   * whole desk when absent.
   */
  readonly only?: readonly string[];
  /**
   * With `only`: which passes were recorded. `planned`: those planned for these paths alone;
   * `whole`: those of the whole desk that contain them, and then every path in them counts.
   * `planned` when absent.
   */
  readonly wantedPasses?: "planned" | "whole";
  /** Takes chosen by hand instead of by the rule: `7/mic=1`; none when absent. */
  readonly takes?: readonly string[];
  /** File of the signal that was played; recognised from the capture when absent. */
  readonly signalFile?: string;
  /** Day of the round, YYYY-MM-DD; today when absent. */
  readonly date?: string;
  /** Id of the round that this one replaces, or `last`: it is withdrawn once this one is stored. */
  readonly replaces?: string;
  /** `preview` measures and prints, but leaves the folder as it was. */
  readonly keep: "store" | "preview";
  /**
   * `leave-out` measures in dBFS even if the desk has a calibration; `confirmed`: the user says
   * that an old one is still valid. `use` when absent, with a doubt if it is old.
   */
  readonly calibration?: "use" | "confirmed" | "leave-out";
}

/**
 * Makes a round from captures: finds returns, assigns, measures, ranks, diagnoses and, with `keep:
 * "store"`, stores.
 *
 * @param onAssigned called with the path of each return, before anything is measured
 * @returns the round as stored; with `keep: "preview"` one of the same form under the id `preview`
 * @throws DeskroundError for anything the user can fix; nothing is stored then
 */
export async function analyze(
  request: AnalyzeRequest,
  onProgress: OnProgress,
  onAssigned: OnAssigned = () => {},
): Promise<Round> {
  const held = holdFolder(getDeskFolder(request.desk));
  const whole = readDesk(request.desk);
  const only = request.only === undefined ? undefined : parseWantedPaths(request.only, whole.paths);
  const asked = only === undefined ? whole : { ...whole, paths: only };
  const silent = parseSilentPaths(request.silent, whole.paths);
  const takes = parseAskedTakes(request.takes ?? [], asked.paths);
  const played = request.signalFile === undefined ? undefined : playedTable(request.signalFile);
  const { referencePath } = whole;
  const named =
    referencePath === undefined ? whole.paths : [...whole.paths, toReferenceEntry(referencePath)];
  const map = request.map === undefined ? undefined : readMap(request.map, named);
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
  const replaced =
    request.replaces === undefined
      ? undefined
      : await readReplaced(getDeskFolder(request.desk), request.replaces, only);
  const channels = map?.channels ?? whole.channels;
  const kindOf = getChannelKind(channels ?? whole.buses, map?.entries ?? []);
  const wanted = only?.map(({ path }) => path);
  const { read, placed, desk, pass, recorded } = await withThreadPool(async () => {
    const read = await readReturns(request.captures, onProgress, kindOf);
    const { wantedPasses } = request;
    const options = { map: map?.entries, silent, wanted, wantedPasses, channels };
    const placed = placeCaptures(read.captures, whole, options);
    const desk = withHeardAlong(asked, whole, placed.passes, wantedPasses);
    onAssigned(placed.assignments);
    const pass = isControlsPass(read.captures);
    const recorded = await measureTakes(placed.takes, read.captures, desk, played, onProgress);
    return { read, placed, desk, pass, recorded };
  });
  const { captures } = read;
  const folder = getDeskFolder(request.desk);
  const taken = takeMeasurements(recorded, captures, desk, pass ? undefined : calibration, takes);
  const { chosen, sums } = partSums(taken.chosen, placed.passes, whole);
  const doubts = [
    ...(await listSameRecordings(folder, captures, replaced?.id, onProgress)),
    ...read.doubts,
    ...taken.doubts.calibration,
    ...(request.calibration === "confirmed" ? [] : listAgeDoubts(taken.calibration, date)),
    ...placed.doubts,
    ...taken.doubts.takes,
    ...taken.doubts.recording,
  ];
  const made = head(request, desk, captures, taken.calibration, doubts);
  const earlier = pass ? undefined : await findEarlierRound(folder, made);
  const past = pass ? undefined : buildRoundReference(desk, taken.reference, placed.assignments);
  const outputDbu = made.calibration === null ? undefined : desk.referenceDbu;
  const path = past && buildReferenceContext(past, chosen, placed.assignments, outputDbu, earlier);
  const reference = {
    ...buildDeskReference(desk, made, earlier),
    ...(path === undefined ? {} : { path }),
  };
  const judgedTakes = pass
    ? { paths: listPassPaths(desk, { placed, chosen }), remarks: [], openWays: [] }
    : judgeTakes(desk, { placed, recorded, chosen }, reference);
  const { paths: bare, remarks, openWays, drift, ...found }: JudgedPaths = judgedTakes;
  const paths = writeForAnywhere(() => bare.map(wordPath));
  const kept = past && wordReference({ ...past, ...(drift === undefined ? {} : { drift }) });
  if (!paths.some(({ status, rank }) => status === "measured" || rank !== undefined)) {
    throw nothingMeasured(paths);
  }
  const measured = withDoubts(
    { ...made, remarks: [], ...found, ...(kept === undefined ? {} : { reference: kept }), paths },
    // The sheet of passes does not list a reference path.
    pass || (kept === undefined && placed.passes !== undefined)
      ? []
      : listReferenceDoubts(desk, kept),
  );
  const previous = pass
    ? undefined
    : await readPreviousRound(folder, made.date.slice(0, 10), made.desk);
  const alone =
    placed.passes === undefined
      ? []
      : listFedAlone(
          placed.passes,
          whole.paths,
          measured.paths.filter(isOdd).map((p) => p.path),
        );
  const single = alone.filter((path) => !openWays.some(({ paths: own }) => own.includes(path)));
  const told = withDoubts(measured, [
    ...openWays.map(
      ({ part, paths: own, of }): Doubt => ({
        code: "strips-or-way",
        part: part.name ?? part.kind,
        paths: own,
        of,
      }),
    ),
    ...(single.length === 0 ? [] : [{ code: "strip-or-output", paths: single } as const]),
  ]);
  const order = pass
    ? []
    : listOrderDoubts(desk, placed.assignments, { ...told, id: "preview" }, previous);
  const inverted = pass
    ? []
    : listPolarityDoubts(told.paths, { calibrated: made.calibration !== null, earlier });
  const judged = withDoubts(told, [...order, ...inverted]);
  const aged = await listFamiliesPastLimits(folder, { ...judged, id: "preview" }, earlier);
  const before = new Map((earlier?.paths ?? []).map((one) => [one.path, one.readings]));
  const judgedSums = judgePassSums(sums, before, earlier?.sums);
  const inCommon = [...remarks, ...listSumRemarks(judgedSums), ...aged];
  const round = {
    ...judged,
    remarks: writeForAnywhere(() => inCommon.map((one) => formatRemark(one))),
    ...(inCommon.length === 0 ? {} : { inCommon }),
    ...(judgedSums.length === 0 ? {} : { sums: judgedSums }),
  };
  if (request.keep === "preview") {
    const { format, version, ...rest } = round;
    return { format, version, id: "preview", ...rest };
  }
  assertHeld(held);
  const stored = storeRound(pass ? getControlsPassFolder(folder) : folder, round);
  if (replaced !== undefined) {
    withdrawReplaced(folder, replaced.id, stored.id);
  }
  return stored;
}

/** The desk with the further paths that whole passes contain. */
function withHeardAlong(
  asked: Desk,
  whole: Desk,
  passes: PlayedPasses | undefined,
  wantedPasses: AnalyzeRequest["wantedPasses"],
): Desk {
  if (passes === undefined || wantedPasses !== "whole") return asked;
  const heard = passes.plan.passes.filter(({ number }) => passes.heard.includes(number));
  const paths = new Set([
    ...asked.paths.map(({ path }) => path),
    ...heard.flatMap(({ plays }) => plays.map(({ path }) => path)),
  ]);
  return { ...whole, paths: whole.paths.filter(({ path }) => paths.has(path)) };
}

/** Whether a path has findings, or passed no signal. */
function isOdd({ findings, status, rank }: RoundPath): boolean {
  const isDead = status === "unusable" && rank !== undefined;
  return isDead || findings.some(({ severity }) => severity !== "remark");
}

/** The new round is stored by now: an error here must not suggest measuring again. */
function withdrawReplaced(folder: string, replaced: string, stored: string): void {
  const because = `replaced by round ${stored}`;
  try {
    writeWithdrawn(folder, { round: replaced, date: getDate(undefined), because });
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    throw new DeskroundError(
      error.code,
      `Round ${stored} was stored, but round ${replaced} still counts too: ${error.message}`,
      `The new round is safe: do not measure it again. Fix that, then: ${formatCommand(`withdraw ${replaced} "${because}"`)}`,
      error,
    );
  }
}

/** Puts the doubts raised by measuring before all others. */
function withDoubts<R extends Pick<Round, "warnings" | "doubts">>(
  round: R,
  doubts: readonly Doubt[],
): R {
  if (doubts.length === 0) return round;
  return {
    ...round,
    warnings: [...writeForAnywhere(() => doubts.map(formatDoubt)), ...round.warnings],
    doubts: [...doubts.map(wordDoubt), ...(round.doubts ?? [])],
  };
}

/**
 * Reads the round to replace; called before anything is measured, so that a bad name costs no time.
 */
async function readReplaced(
  folder: string,
  text: string,
  only: readonly DeskPath[] | undefined,
): Promise<Round> {
  const replaced = await readRound(folder, text);
  if (only === undefined || replaced.partial !== undefined) return replaced;
  throw new DeskroundError(
    "usage",
    `Round ${replaced.id} is of the whole desk: a partial round cannot replace it.`,
    "Leave --replace out, or analyze all recordings together.",
  );
}

/**
 * Doubts that recordings were analysed before, naming the latest round that has them; and damaged
 * rounds.
 */
async function listSameRecordings(
  folder: string,
  captures: readonly ReadCapture[],
  replaced: string | undefined,
  onProgress: OnProgress,
): Promise<readonly Doubt[]> {
  const onRead = reportReading(onProgress);
  const { rounds } = await readFacts({
    folder,
    ids: listRounds(folder),
    onRead,
    pick: ({ id, captures: own }) => ({ id, captures: own }),
  });
  const known = rounds.flatMap((one) => ("facts" in one ? one.facts : []));
  const damaged = rounds.flatMap((one): Doubt[] =>
    "damaged" in one ? [{ code: "round-passed-over", round: one.id, because: one.damaged }] : [],
  );
  const found = findSameRecordings(known, captures.map(buildRoundCapture));
  const latest = found.find(({ round }) => round !== replaced);
  return [
    ...damaged,
    ...(latest === undefined ? [] : [{ code: "same-recordings", ...latest } as const]),
  ];
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

/** Whether the returns are of a controls pass, which is not ranked. */
function isControlsPass(captures: readonly ReadCapture[]): boolean {
  const all = captures.flatMap(({ found }) => found.returns);
  const passes = all.filter(({ profile }) => profile === "controls");
  if (passes.length === 0) return false;
  const other = all.find(({ profile }) => profile !== "controls");
  if (other === undefined) return true;
  throw new DeskroundError(
    "usage",
    `${toDisplayName(passes[0].file)} holds a controls pass and ${toDisplayName(other.file)} a return of the ${other.profile} signal.`,
    "Analyze them separately: a controls pass is not compared with siblings.",
  );
}

function head(
  request: AnalyzeRequest,
  desk: Desk,
  captures: readonly ReadCapture[],
  calibration: UsedCalibration | undefined,
  doubts: readonly Doubt[],
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
    warnings: writeForAnywhere(() => doubts.map(formatDoubt)),
    doubts: doubts.map(wordDoubt),
  };
}

/**
 * Days. The interface's settings may have changed if it was calibrated longer before or after the
 * recording.
 */
const calibrationDays = 400;

/**
 * What to ask the user before the calibration is used for recordings of a day: that it is too old,
 * in words; undefined if it is not.
 *
 * @throws DeskroundError for a calibration that cannot be read
 */
export async function findCalibrationDoubt(
  desk: string,
  day: string | undefined,
): Promise<string | undefined> {
  const calibration = await readCalibration(getDeskFolder(desk));
  return listAgeDoubts(calibration, getDate(day)).map(formatDoubt)[0];
}

function listAgeDoubts(calibration: UsedCalibration | undefined, date: string): readonly Doubt[] {
  if (calibration === undefined) return [];
  const day = calibration.date.slice(0, 10);
  const days = Math.round((Date.parse(date.slice(0, 10)) - Date.parse(day)) / 86_400_000);
  return Math.abs(days) > calibrationDays
    ? [{ code: "calibration-of-another-year", day, days }]
    : [];
}
