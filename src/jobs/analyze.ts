import { readSignalFile } from "../capture/signal-file.js";
import type { Return } from "../capture/types.js";
import { inspectWav } from "../capture/wav.js";
import { deskFolder } from "../desk/locate.js";
import { readDesk } from "../desk/read.js";
import type { Desk } from "../desk/types.js";
import { diagnosePath } from "../diagnose/diagnose.js";
import { placesOf } from "../diagnose/where.js";
import { DeskroundError } from "../errors.js";
import { requireStorable, storeRound } from "../history/store.js";
import type { Round, RoundPath } from "../history/types.js";
import { familiesOf, type RankedInput, usualOf } from "../rank/families.js";
import { rankPaths } from "../rank/rank.js";
import { signalTable } from "../signal/profiles.js";
import type { SignalTable } from "../signal/table.js";
import { toolVersion } from "../version.js";
import { recordingDoubts } from "./doubts.js";
import { type Measured, measurePlaced } from "./measure-placed.js";
import { type Placed, placeReturns } from "./place-returns.js";
import { type ReadCapture, readCaptures } from "./read-captures.js";
import { readMap } from "./read-map.js";
import { silentPaths } from "./silent-paths.js";
import type { AnalyzeRequest, OnProgress } from "./types.js";

/**
 * Captures to a round: found, assigned, measured, ranked, diagnosed and, when asked, stored.
 *
 * @returns the round as stored; with `keep: "preview"` one of the same form under the id `preview`
 * @throws DeskroundError for anything that the person at the desk can mend; nothing is stored then
 */
export async function analyze(request: AnalyzeRequest, onProgress: OnProgress): Promise<Round> {
  const desk = readDesk(request.desk);
  const silent = silentPaths(request.silent, desk.paths);
  const played = request.signalFile === undefined ? undefined : playedTable(request.signalFile);
  const map = request.map === undefined ? undefined : readMap(request.map, desk.paths);
  if (request.keep === "store") requireStorable(deskFolder(request.desk));
  const { captures, warnings } = await readCaptures(request.captures, onProgress);
  const placed = placeReturns(captures, desk, map, silent);
  const measured = await measurePlaced(placed, captures, desk, played, onProgress);
  const doubts = [...warnings, ...placed.warnings, ...recordingDoubts(measured, captures)];
  const { paths, remarks } = judge(desk, placed, measured);
  if (paths.every(({ status }) => status !== "measured")) throw nothingMeasured(paths);
  const round = { ...head(request, desk, captures, doubts), remarks, paths };
  if (request.keep === "preview") {
    const { format, version, ...rest } = round;
    return { format, version, id: "preview", ...rest };
  }
  return storeRound(deskFolder(request.desk), round);
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

function judge(
  desk: Desk,
  placed: Placed,
  measured: ReadonlyMap<string, Measured>,
): Pick<Round, "paths" | "remarks"> {
  const inputs: RankedInput[] = desk.paths.map(({ path, family }) => {
    const one = measured.get(path);
    const unheard = one?.unheard ?? placed.unheard.get(path);
    return {
      path,
      family,
      ...(one?.measurement ? { measurement: one.measurement } : {}),
      ...(unheard === undefined ? {} : { unheard }),
    };
  });
  const ranked = rankPaths(inputs);
  const usual = new Map([...familiesOf(inputs)].map(([name, family]) => [name, usualOf(family)]));
  const socketDbu = new Map(desk.inputs.map(({ name, nominalDbu }) => [name, nominalDbu]));
  const causes = desk.paths.map(({ input, family }, i) =>
    diagnosePath(inputs[i], ranked[i], usual.get(family), socketDbu.get(input)),
  );
  const places = placesOf(
    desk.paths.map((path, i) => ({
      ...path,
      causes: causes[i],
      judged: ranked[i].rank !== undefined,
    })),
  );
  const paths = desk.paths.map(({ path, strip, input, family }, i): RoundPath => {
    const one = measured.get(path);
    const { oddness, rank, findings } = ranked[i];
    const where = places.where.get(path);
    const [first, ...others] = causes[i];
    return {
      path,
      strip,
      input,
      family,
      ...status(inputs[i], one, placed.spoilt.get(path)),
      ...(one ? { take: takeOf(one.found) } : {}),
      readings: one?.measurement?.readings ?? {},
      absent: one?.measurement?.absent ?? {},
      curves: one?.measurement?.curves ?? {},
      oddness,
      ...(rank === undefined ? {} : { rank }),
      findings,
      causes: first && where !== undefined ? [{ ...first, where }, ...others] : causes[i],
    };
  });
  return { paths, remarks: places.remarks };
}

function status(
  input: RankedInput,
  one: Measured | undefined,
  spoilt: string | undefined,
): Pick<RoundPath, "status" | "reason"> {
  if (one?.measurement) return { status: "measured" };
  if (input.unheard !== undefined) {
    return { status: "unusable", reason: `nothing of the signal came back: ${input.unheard}` };
  }
  const unusable = one?.unusable ?? spoilt;
  if (unusable !== undefined) return { status: "unusable", reason: unusable };
  return { status: "missing", reason: "no return belongs to it" };
}

function takeOf({ file, channel, startSample, driftPpm }: Return) {
  return { file, channel, startSample, driftPpm };
}

function head(
  request: AnalyzeRequest,
  desk: Desk,
  captures: readonly ReadCapture[],
  warnings: readonly string[],
): Omit<Round, "id" | "paths" | "remarks"> {
  const heard = captures.flatMap(({ found, info }) =>
    found.returns.map((one) => ({ one, sampleRate: info.sampleRate })),
  );
  const { one, sampleRate } = heard[0];
  const table = signalTable(one.profile, one.band);
  return {
    format: "deskround-round",
    version: 1,
    desk: { name: desk.name, mainsHz: desk.mainsHz },
    date: dateOf(request.date),
    tool: { name: "deskround", version: toolVersion },
    signal: {
      id: `v${table.version}-${table.profile}-${table.band}`,
      version: table.version,
      profile: table.profile,
      band: table.band,
      sampleRate,
      nominalDbfs: table.nominalDbfs,
    },
    calibration: null,
    captures: captures.map(({ info, sha256 }) => ({
      file: info.file,
      sha256,
      sampleRate: info.sampleRate,
      bits: info.bits,
      channels: info.channels,
      frames: info.frames,
    })),
    warnings,
  };
}

/** The day asked for, at noon UTC as its hour is not known; else now, by the clock on the wall. */
function dateOf(day: string | undefined): string {
  return day === undefined ? localTime(new Date()) : `${day}T12:00:00.000Z`;
}

/** ISO 8601 with the offset from UTC: the day of a round is the day where it was made. */
function localTime(now: Date): string {
  const east = -now.getTimezoneOffset();
  const two = (value: number) => String(value).padStart(2, "0");
  const local = new Date(now.getTime() + east * 60_000).toISOString().slice(0, -1);
  const size = Math.abs(east);
  return `${local}${east < 0 ? "-" : "+"}${two(Math.floor(size / 60))}:${two(size % 60)}`;
}
