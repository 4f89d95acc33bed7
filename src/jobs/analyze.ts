import { readSignalFile } from "../capture/signal-file.js";
import type { Return } from "../capture/types.js";
import { inspectWav } from "../capture/wav.js";
import { deskFolder } from "../desk/locate.js";
import { parsePaths } from "../desk/paths.js";
import { readDesk } from "../desk/read.js";
import type { Desk } from "../desk/types.js";
import { diagnosePath } from "../diagnose/diagnose.js";
import { amplitudeDb } from "../dsp/decibels.js";
import { DeskroundError } from "../errors.js";
import { storeRound } from "../history/store.js";
import type { Round, RoundPath } from "../history/types.js";
import type { Measurement } from "../measure/types.js";
import { familiesOf, type RankedInput, usualOf } from "../rank/families.js";
import { rankPaths } from "../rank/rank.js";
import { signalTable } from "../signal/profiles.js";
import type { SignalTable } from "../signal/table.js";
import { toolVersion } from "../version.js";
import { closeMeasureFiles, type MeasureTask, runMeasureTask } from "./measure-task.js";
import { type Placed, placeReturns } from "./place-returns.js";
import { type ReadCapture, readCaptures } from "./read-captures.js";
import { onThreads, type ThreadJob } from "./threads.js";
import type { AnalyzeRequest, OnProgress } from "./types.js";

/**
 * Captures to a round: found, assigned, measured, ranked, diagnosed and, when asked, stored.
 *
 * @returns the round as stored; with `keep: "preview"` one of the same form under the id `preview`
 * @throws DeskroundError for anything that the person at the desk can mend; nothing is stored then
 */
export async function analyze(request: AnalyzeRequest, onProgress: OnProgress): Promise<Round> {
  const desk = readDesk(request.desk);
  const silent = parsePaths(request.silent.join(), desk.paths).map(({ path }) => path);
  const played = request.signalFile === undefined ? undefined : playedTable(request.signalFile);
  const captures = await readCaptures(request.captures, onProgress);
  const placed = placeReturns(captures, desk, request.map, silent);
  const measured = await measurePlaced(placed, captures, desk, played, onProgress);
  const round = { ...head(request, desk, captures, placed), paths: judge(desk, placed, measured) };
  if (request.keep === "preview") {
    const { format, version, ...rest } = round;
    return { format, version, id: "preview", ...rest };
  }
  return storeRound(deskFolder(request.desk), round);
}

function playedTable(file: string): SignalTable {
  return readSignalFile(inspectWav(file)).table;
}

/** A path's measurement, or why its return could not be used. */
interface Measured {
  readonly found: Return;
  readonly measurement?: Measurement;
  /** A fault of the capture. */
  readonly unusable?: string;
  /** Next to nothing came through: a fault of the path. */
  readonly unheard?: string;
}

async function measurePlaced(
  placed: Placed,
  captures: readonly ReadCapture[],
  desk: Desk,
  played: SignalTable | undefined,
  onProgress: OnProgress,
): Promise<ReadonlyMap<string, Measured>> {
  const infos = new Map(captures.map(({ info }) => [info.file, info]));
  const measured = new Map<string, Measured>();
  const whole: { path: string; found: Return }[] = [];
  for (const [path, found] of placed.byPath) {
    const info = infos.get(found.file);
    if (!info) continue;
    if (found.slipSamples === undefined) whole.push({ path, found });
    else measured.set(path, { found, unusable: slipWords(found.slipSamples, info.sampleRate) });
  }
  const tasks = whole.flatMap(({ found }) => {
    const info = infos.get(found.file);
    return info ? [{ info, found, table: tableOf(found, played), mainsHz: desk.mainsHz }] : [];
  });
  const results = await measureAll(tasks, onProgress);
  whole.forEach(({ path, found }, i) => {
    measured.set(path, { found, ...usable(results[i], found) });
  });
  return measured;
}

const measuring: ThreadJob<MeasureTask, Measurement> = {
  script: new URL("./measure-worker.js", import.meta.url),
  run: runMeasureTask,
};

async function measureAll(tasks: readonly MeasureTask[], onProgress: OnProgress) {
  try {
    return await onThreads(measuring, tasks, (done) =>
      onProgress({ stage: "measuring", done, total: tasks.length }),
    );
  } finally {
    closeMeasureFiles();
  }
}

/** The table of the kind of signal that a return's markers name. */
function tableOf(found: Return, played: SignalTable | undefined): SignalTable {
  if (played === undefined) return signalTable(found.profile, found.band);
  if (played.profile === found.profile && played.band === found.band) return played;
  throw new DeskroundError(
    "usage",
    `${found.file}: holds a return of the ${found.profile} signal, not of the ${played.profile} one named with --signal.`,
    "Name the signal file that was played, or leave --signal out: the markers tell.",
  );
}

function slipWords(slip: number, sampleRate: number): string {
  const ms = (1000 * Math.abs(slip)) / sampleRate;
  const count = `about ${Math.abs(slip)} samples (${ms.toPrecision(2)} ms)`;
  return slip < 0
    ? `the recorder lost ${count} within the return; record it again`
    : `the recorder repeated ${count} within the return; record it again`;
}

/** A return this weak that no tone can be read from is a path that passes nothing. */
const unheardDb = -30;

function usable(measurement: Measurement, found: Return): Omit<Measured, "found"> {
  const { readings, absent, curves } = measurement;
  const nothing = readings.gain === undefined && curves.response === undefined;
  if (readings.gain !== undefined || !nothing) return { measurement };
  const level = amplitudeDb(found.gain);
  if (level < unheardDb) {
    return { unheard: `only a trace, ${level.toFixed(0).replace("-", "−")} dB of what was sent` };
  }
  return { unusable: absent.gain ?? absent.response ?? "nothing could be measured" };
}

function judge(
  desk: Desk,
  placed: Placed,
  measured: ReadonlyMap<string, Measured>,
): readonly RoundPath[] {
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
  return desk.paths.map(({ path, strip, input, family }, i) => {
    const one = measured.get(path);
    const { oddness, rank, findings } = ranked[i];
    return {
      path,
      strip,
      input,
      family,
      ...status(inputs[i], one),
      ...(one ? { take: takeOf(one.found) } : {}),
      readings: one?.measurement?.readings ?? {},
      absent: one?.measurement?.absent ?? {},
      curves: one?.measurement?.curves ?? {},
      oddness,
      ...(rank === undefined ? {} : { rank }),
      findings,
      causes: diagnosePath(inputs[i], ranked[i], usual.get(family)),
    };
  });
}

function status(
  input: RankedInput,
  one: Measured | undefined,
): Pick<RoundPath, "status" | "reason"> {
  if (one?.measurement) return { status: "measured" };
  if (input.unheard !== undefined) {
    return { status: "unusable", reason: `nothing of the signal came back: ${input.unheard}` };
  }
  if (one?.unusable !== undefined) return { status: "unusable", reason: one.unusable };
  return { status: "missing", reason: "no return belongs to it" };
}

function takeOf({ file, channel, startSample, driftPpm }: Return) {
  return { file, channel, startSample, driftPpm };
}

function head(
  request: AnalyzeRequest,
  desk: Desk,
  captures: readonly ReadCapture[],
  placed: Placed,
): Omit<Round, "id" | "paths"> {
  const heard = captures.flatMap(({ found, info }) =>
    found.returns.map((one) => ({ one, sampleRate: info.sampleRate })),
  );
  const { one, sampleRate } = heard[0];
  const warnings = [...placed.warnings];
  const kinds = new Set(heard.map((h) => `${h.one.profile} at ${h.sampleRate} Hz`));
  if (kinds.size > 1) {
    warnings.push(
      `The returns are of several kinds (${[...kinds].join(", ")}); siblings compare best when all are of one.`,
    );
  }
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

/** The day asked for, at noon UTC as its hour is not known; else now. */
function dateOf(day: string | undefined): string {
  return day === undefined ? new Date().toISOString() : `${day}T12:00:00.000Z`;
}
