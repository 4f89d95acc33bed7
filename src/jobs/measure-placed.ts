import type { Return } from "../capture/types.js";
import type { Desk } from "../desk/types.js";
import { amplitudeDb } from "../dsp/decibels.js";
import { DeskroundError } from "../errors.js";
import type { Mark, Measurement } from "../measure/types.js";
import { signalTable } from "../signal/profiles.js";
import type { SignalTable } from "../signal/table.js";
import {
  closeMeasureFiles,
  type Doubt,
  type MeasuredReturn,
  type MeasureTask,
  runMeasureTask,
} from "./measure-task.js";
import type { Placed } from "./place-returns.js";
import type { ReadCapture } from "./read-captures.js";
import { onThreads, type ThreadJob } from "./threads.js";
import type { OnProgress } from "./types.js";

/** A path's measurement, or why its return could not be used. */
export interface Measured {
  readonly found: Return;
  readonly measurement?: Measurement;
  readonly doubts?: readonly Doubt[];
  /** A fault of the capture. */
  readonly unusable?: string;
  /** Next to nothing came through: a fault of the path. */
  readonly unheard?: string;
}

/**
 * Measures the return of every path that has one.
 *
 * @param played the signal that was played, when the user names it
 * @throws DeskroundError `usage` for a return of another signal than the one named
 */
export async function measurePlaced(
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

const measuring: ThreadJob<MeasureTask, MeasuredReturn> = {
  script: new URL("./measure-worker.js", import.meta.url),
  run: runMeasureTask,
};

/** Measures any number of returns, on as many threads as are worth it. */
export async function measureAll(tasks: readonly MeasureTask[], onProgress: OnProgress) {
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

/** What the recorder did to a return, where it did not keep every sample once. */
function dropoutWords(marks: readonly Mark[]): string | undefined {
  const [first, ...more] = marks.filter((m) => m.kind === "dropout");
  if (first === undefined) return undefined;
  const { what, samples, atS, untilS } = first;
  const count = `${samples} ${samples === 1 ? "sample" : "samples"}`;
  const did = what === "held" ? `held one value for ${count}` : `${what} ${count}`;
  const where =
    untilS - atS < sharpS
      ? `${((atS + untilS) / 2).toFixed(2)} s into the signal`
      : `between ${atS.toFixed(1)} s and ${untilS.toFixed(1)} s of the signal`;
  const often = more.length > 0 ? `, and ${more.length} more times` : "";
  return `the recorder ${did} ${where}${often}; let both machines run on one clock, close other programs and record it again`;
}

/** A dropout known to this is told with its time, seconds. */
const sharpS = 0.1;

/** A return this weak that no tone can be read from is a path that passes nothing. */
const unheardDb = -30;

function usable({ measurement, doubts }: MeasuredReturn, found: Return): Omit<Measured, "found"> {
  const { readings, absent, curves, marks } = measurement;
  const lost = dropoutWords(marks ?? []);
  if (lost !== undefined) return { unusable: lost };
  if (readings.gain !== undefined || curves.response !== undefined) return { measurement, doubts };
  const level = amplitudeDb(found.gain);
  if (level < unheardDb) {
    return { unheard: `only a trace, ${level.toFixed(0).replace("-", "−")} dB of what was sent` };
  }
  const why = absent.gain ?? absent.response ?? "nothing could be measured";
  return { unusable: doubts.includes("clipped") ? `${why}; ${turnDown}` : why };
}

const turnDown = "turn down the interface's input and record it again";
