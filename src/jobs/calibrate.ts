import { listCaptureDoubts } from "../analysis/read/capture-doubts.js";
import type { ReadCapture } from "../analysis/read/read-captures.js";
import { buildRoundCapture, buildRoundSignal } from "../analysis/read/round-head.js";
import { measureReturns } from "../analysis/takes/measure-takes.js";
import type { MeasuredReturn } from "../analysis/takes/measure-task.js";
import type { OnProgress } from "../analysis/types.js";
import { toDisplayName } from "../capture/containers/open-file.js";
import { hasTwoClocks } from "../capture/one-clock.js";
import type { SignalReturn } from "../capture/types.js";
import { getDeskFolder } from "../desk/desk-file.js";
import { applyPads } from "../desk/pads.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { Desk } from "../desk/types.js";
import type { Doubt } from "../doubt.js";
import { zeroDbuVolts } from "../dsp/dbu.js";
import { dbToAmplitude } from "../dsp/decibels.js";
import { DeskroundError } from "../errors.js";
import {
  assertCalibrationReplaceable,
  getCalibrationFile,
  hasCalibration,
  storeCalibration,
} from "../history/calibration.js";
import { readFacts } from "../history/facts/read-facts.js";
import { findSameRecordings } from "../history/same-recordings.js";
import { listRounds } from "../history/store.js";
import type { Calibration } from "../history/types.js";
import {
  buildInputCalibration,
  findDisagreement,
  findInterfaceFault,
} from "../measure/calibration/loopback.js";
import {
  computeKnownLevel,
  computeMeteredVolts,
  type MeterReading,
  validateInputScale,
  validateInputVolts,
  validateOutputVolts,
} from "../measure/calibration/meter.js";
import type { InputCalibration } from "../measure/calibration/types.js";
import { getReadingId } from "../measure/reading-kinds.js";
import type { Measurement } from "../measure/types.js";
import { formatDoubt } from "../report/doubts/format-doubt.js";
import { formatLoopPlace } from "../report/doubts/format-loop-place.js";
import { formatDisagreement, formatInterfaceFault } from "../report/loopback-faults.js";
import { formatNoReturn } from "../report/not-measured/format-no-return.js";
import { cutAdvice, formatHeardAdvice } from "../report/not-measured/heard-advice.js";
import { buildSignalTable, nominalDbfs } from "../signal/signal-table.js";
import { writeForAnywhere } from "../text/program-name.js";
import { withThreadPool } from "../threads/thread-pool.js";
import { toolVersion } from "../version.js";
import { readReturns } from "./read-returns.js";
import { reportReading } from "./report-reading.js";
import { getDate } from "./wall-time.js";

/** What `calibrate` is asked to do. */
export interface CalibrateRequest {
  /** Folder that holds desk.yaml, or the desk file itself. */
  readonly desk: string;
  /** Recordings of the signal through the interface alone, output to input. */
  readonly captures: readonly string[];
  /** Meter reading at the interface's output while the 1 kHz tone plays at its nominal level. */
  readonly outputVolts: MeterReading;
  /** At its input, if a pad is in between; as at the output when absent. */
  readonly inputVolts?: MeterReading;
  /** Expanded uncertainty (95 %) of the meter, per cent. */
  readonly meterPercent: number;
  /** Day of the calibration, YYYY-MM-DD; today when absent. */
  readonly date?: string;
}

export interface CalibrateResult {
  readonly calibration: Calibration;
  readonly file: string;
  /** Whether an earlier calibration was replaced. */
  readonly wrote: "new" | "replaced";
}

/**
 * Rejects recordings that a round has assigned to a path: they went through the desk and are no
 * loopback.
 */
async function assertNoRoundHas(
  captures: readonly ReadCapture[],
  folder: string,
  onProgress: OnProgress,
): Promise<void> {
  const { rounds } = await readFacts({
    folder,
    ids: listRounds(folder),
    onRead: reportReading(onProgress),
    pick: ({ id, captures: own }) => ({ id, captures: own }),
  });
  const known = rounds.flatMap((one) => ("facts" in one ? one.facts : []));
  const [same] = findSameRecordings(known, captures.map(buildRoundCapture));
  if (same === undefined) return;
  throw new DeskroundError(
    "usage",
    `${toDisplayName(same.files[0])}: not a loopback but a recording of the desk in round ${same.round}.`,
    "Patch the interface's output straight into its input, nothing between, and record that.",
  );
}

/** Per cent; a less accurate meter is no use as a reference. */
const mostPercent = 20;

/**
 * Measures the interface from loopback recordings and a voltage, and stores the result as the
 * desk's calibration, whole or not at all.
 *
 * @throws DeskroundError for recordings that are not a loopback, or a voltage that does not fit;
 * nothing is written then
 */
export async function calibrate(
  request: CalibrateRequest,
  onProgress: OnProgress,
): Promise<CalibrateResult> {
  return withThreadPool(() => calibrated(request, onProgress));
}

async function calibrated(
  request: CalibrateRequest,
  onProgress: OnProgress,
): Promise<CalibrateResult> {
  const desk = readDesk(request.desk);
  checkMeter(request);
  assertCalibrationReplaceable(getDeskFolder(request.desk));
  const { captures, doubts: fileDoubts } = await readReturns(request.captures, onProgress);
  await assertNoRoundHas(captures, getDeskFolder(request.desk), onProgress);
  const loops = loopsOf(captures);
  checkAlike(loops);
  const tasks = loops.map(({ capture, found }) => ({
    info: capture.info,
    found,
    table: buildSignalTable(found.profile, found.band, undefined, found.signalVersion),
    mainsHz: desk.mainsHz,
  }));
  const measured = await measureReturns(tasks, onProgress);
  loops.forEach((loop, i) => {
    checkLoop(loop, measured[i]);
  });
  const { outputVolts, inputVolts = outputVolts, meterPercent } = request;
  const output = computeMeteredVolts(outputVolts, meterPercent);
  const input = computeMeteredVolts(inputVolts, meterPercent);
  const inputs = inputsOf(
    loops.map(({ found }, i) => ({ channel: found.channel, measurement: measured[i].measurement })),
    computeKnownLevel(input),
  );
  const atOutput = computeKnownLevel(output);
  const [first] = loops;
  const calibration: Calibration = {
    format: "deskround-calibration",
    version: 1,
    date: getDate(request.date),
    desk: { name: desk.name, mainsHz: desk.mainsHz },
    tool: { name: "deskround", version: toolVersion },
    signal: buildRoundSignal(first.found, first.capture.info.sampleRate),
    volts: { output, input, meterPercent },
    outputFullScale: {
      value: atOutput.dbu - nominalDbfs,
      unit: "dBu",
      uncertainty: atOutput.uncertaintyDb,
    },
    inputs,
    captures: captures.map(buildRoundCapture),
    warnings: writeForAnywhere(() =>
      [
        ...fileDoubts,
        ...listCaptureDoubts(captures),
        ...listLoopDoubts(loops, inputs),
        ...listVoltageDoubts(desk, atOutput.dbu),
      ].map(formatDoubt),
    ),
  };
  const folder = getDeskFolder(request.desk);
  const wrote = hasCalibration(folder) ? "replaced" : "new";
  return {
    calibration: storeCalibration(folder, calibration),
    file: getCalibrationFile(folder),
    wrote,
  };
}

/** One return of the loopback on one channel. */
interface Loop {
  readonly capture: ReadCapture;
  readonly found: SignalReturn;
}

function checkMeter({ outputVolts, inputVolts, meterPercent }: CalibrateRequest): void {
  if (!(meterPercent > 0 && meterPercent <= mostPercent)) {
    throw new DeskroundError(
      "usage",
      `--meter-percent ${meterPercent}: the uncertainty of a meter is above 0 and up to ${mostPercent} %.`,
      "Give what its data sheet says for AC volts at 1 kHz; 1 is usual.",
    );
  }
  const hint =
    "Give what the meter shows in volts r.m.s., e.g. 1.228, while the 1 kHz tone plays at its nominal level.";
  const fault = validateOutputVolts(outputVolts.volts, nominalDbfs);
  if (fault !== undefined) {
    throw new DeskroundError("usage", `--output-volts ${outputVolts.volts}: ${fault}.`, hint);
  }
  if (inputVolts === undefined) return;
  const odd = validateInputVolts(inputVolts.volts, outputVolts.volts);
  if (odd === undefined) return;
  throw new DeskroundError("usage", `--input-volts ${inputVolts.volts}: ${odd}.`, hint);
}

/** Every return on every channel that was driven. */
function loopsOf(captures: readonly ReadCapture[]): readonly Loop[] {
  const silent = captures.find(({ instead }) => instead !== undefined);
  if (silent?.instead) {
    throw new DeskroundError(
      "loopback",
      formatNoReturn(toDisplayName(silent.info.file), silent.instead),
      silent.instead.cut === undefined
        ? "Name only recordings of the loopback; record it again if this should be one."
        : cutAdvice,
    );
  }
  return captures.flatMap((capture) =>
    capture.found.returns.flatMap((found) => {
      const { partner, ...first } = found;
      if (!partner) return [{ capture, found: first }];
      const { undriven: _, ...second } = { ...first, channel: partner.channel };
      // Two channels driven at once give the delay between the inputs; with
      // more than two the pairs are unknown.
      const left = capture.info.channels === 2 ? found : first;
      return [left, second].map((one) => ({ capture, found: one }));
    }),
  );
}

/** A calibration needs one signal at one sample rate. */
function checkAlike(loops: readonly Loop[]): void {
  const kinds = new Set(
    loops.map(
      ({ capture, found }) => `${found.profile} signal at ${capture.info.sampleRate / 1000} kHz`,
    ),
  );
  if (kinds.size < 2) return;
  throw new DeskroundError(
    "loopback",
    `The loopback returns are of several kinds: ${[...kinds].join(", ")}.`,
    "Calibrate with one signal at the sample rate of the rounds.",
  );
}

const again = "Patch the output straight into the input, nothing between, and record again.";

function checkLoop(loop: Loop, { measurement, doubts: recording }: MeasuredReturn): void {
  const where = formatLoopPlace(wherein(loop));
  if (recording.includes("bad-samples")) {
    const message = `${where}: some samples are NaN or infinite, or far beyond full scale.`;
    throw new DeskroundError(
      "loopback",
      message,
      formatHeardAdvice({ code: "invalid-samples", share: 1 }),
    );
  }
  const isBroken = measurement.marks?.some(({ kind }) => kind === "dropout") ?? false;
  if (loop.found.slipSamples !== undefined || isBroken) {
    throw new DeskroundError(
      "loopback",
      `${where}: the recorder lost, repeated or held samples within the return.`,
      "Close other programs, give the interface a larger buffer and record again.",
    );
  }
  if (recording.includes("clipped")) {
    throw new DeskroundError(
      "loopback",
      `${where}: the converter clipped in the loopback.`,
      "Turn down the interface's output until the loudest step stays below full scale, measure the voltage again and record again.",
    );
  }
  const fault = findInterfaceFault(measurement);
  if (fault === undefined) return;
  throw new DeskroundError(
    "loopback",
    `${where}: not an interface alone: ${formatInterfaceFault(fault)}.`,
    again,
  );
}

function inputsOf(
  measured: readonly { readonly channel: number; readonly measurement: Measurement }[],
  known: ReturnType<typeof computeKnownLevel>,
): readonly InputCalibration[] {
  const channels = [...new Set(measured.map(({ channel }) => channel))].sort((a, b) => a - b);
  return channels.map((channel) => {
    const own = measured.filter((m) => m.channel === channel).map((m) => m.measurement);
    const differ = findDisagreement(own);
    if (differ !== undefined) {
      throw new DeskroundError(
        "loopback",
        `The ${own.length} loopback returns of channel ${channel + 1} disagree: ${formatDisagreement(differ)}.`,
        "Touch nothing between them: name only those made with the present settings, or record again.",
      );
    }
    const input = buildInputCalibration(channel, own, known);
    const scale = validateInputScale(input.fullScale.value);
    if (scale !== undefined) {
      throw new DeskroundError(
        "usage",
        `Channel ${channel + 1} and the voltage do not fit: ${scale}.`,
        "Check the meter's range and unit; with a pad in the loop, give --input-volts measured after it.",
      );
    }
    return input;
  });
}

function listLoopDoubts(
  loops: readonly Loop[],
  inputs: readonly InputCalibration[],
): readonly Doubt[] {
  const found: Doubt[] = [];
  const drifted = loops.find((loop) => hasTwoClocks(loop.found.driftPpm));
  if (drifted) {
    const { driftPpm } = drifted.found;
    found.push({ code: "loopback-of-two-clocks", ...wherein(drifted), driftPpm });
  }
  for (const { channel, readings } of inputs) {
    if (readings[getReadingId("polarity")]?.value !== -1) continue;
    found.push({ code: "loopback-inverted", channel });
  }
  return found;
}

interface LoopPlace {
  readonly file: string;
  readonly atS: number;
  /** Set if the file has several. */
  readonly channel?: number;
}

function wherein({ capture, found }: Loop): LoopPlace {
  const { file, sampleRate, channels } = capture.info;
  const atS = Math.max(0, found.startSample / sampleRate);
  return { file, atS, ...(channels > 1 ? { channel: found.channel } : {}) };
}

/** From one leg of a line driver to ground there is half the voltage between both legs. */
const halfDb = 20 * Math.log10(2);
/** dB; a level this near counts as the expected one. */
const nearDb = 1;

/**
 * Doubts about the output voltage compared with the level in the desk file: half of it suggests
 * that the meter was between one pin and ground.
 */
function listVoltageDoubts(desk: Desk, outputDbu: number): readonly Doubt[] {
  const fed = applyPads(desk.inputs, desk.referenceDbu).map(
    ({ nominalDbu, padDb }) => nominalDbu + padDb,
  );
  if (fed.some((dbu) => Math.abs(outputDbu - dbu) < nearDb)) return [];
  const whole = fed.find((dbu) => Math.abs(outputDbu + halfDb - dbu) < nearDb);
  if (whole === undefined) return [];
  return [
    { code: "half-voltage", wholeDbu: whole, wholeVolts: zeroDbuVolts * dbToAmplitude(whole) },
  ];
}
