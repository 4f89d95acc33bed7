import type { Desk } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import type { UsedCalibration } from "../../history/types.js";
import {
  calibrateMeasurement,
  percentToDb,
} from "../../measure/calibration/calibrate-measurement.js";
import type { PathCalibration, UnlikeWords } from "../../measure/calibration/types.js";
import type { ReadCapture } from "../read/read-captures.js";
import type { MeasuredTake, MeasuredTakes } from "./measure-takes.js";

/** Measurements of a round, and their calibration. */
export interface CalibratedTakes {
  readonly takes: MeasuredTakes;
  /** Undefined if none was used. */
  readonly calibration: UsedCalibration | undefined;
  readonly doubts: readonly Doubt[];
}

/**
 * Removes the interface from every measurement of a round. A calibration that does not fit all of
 * them is not used, with a doubt: siblings must be compared in one unit.
 *
 * @param takes of each path, as recorded
 * @param calibration of the desk; undefined if there is none or it is to be left out
 */
export function applyCalibration(
  takes: MeasuredTakes,
  captures: readonly Pick<ReadCapture, "info">[],
  desk: Desk,
  calibration: UsedCalibration | undefined,
): CalibratedTakes {
  if (calibration === undefined) return { takes, calibration, doubts: [] };
  const misfit = misfitOf(takes, captures, calibration);
  if (misfit !== undefined) {
    const day = calibration.date.slice(0, 10);
    return {
      takes,
      calibration: undefined,
      doubts: [{ code: "calibration-misfit", day, misfit }],
    };
  }
  const { referencePath } = desk;
  const inputOf = new Map(desk.paths.map(({ path, input }) => [path, input]));
  if (referencePath !== undefined) inputOf.set(referencePath.name, referencePath.name);
  const bitsOf = new Map(captures.map(({ info }) => [info.file, info.bits]));
  const applied = [...takes].map(([path, own]) => {
    const input = inputOf.get(path);
    const calibrated = own.map((one) => {
      const words = unlikeWords(bitsOf.get(one.found.file), calibration);
      return withoutInterface(one, input, desk, { ...calibration, ...(words ? { words } : {}) });
    });
    return [path, calibrated] as const;
  });
  return { takes: new Map(applied), calibration, doubts: listWordDoubts(captures, calibration) };
}

/** Bits; longer words add less noise than any converter (common practice, no source). */
const enoughBits = 24;

function listWordDoubts(
  captures: readonly Pick<ReadCapture, "info">[],
  { date, captures: loopbacks }: UsedCalibration,
): readonly Doubt[] {
  const loopback = shortest(loopbacks);
  const round = shortest(captures.map(({ info }) => info));
  if (Math.min(loopback, enoughBits) === Math.min(round, enoughBits)) return [];
  return [{ code: "calibration-of-other-words", day: date.slice(0, 10), loopback, round }];
}

/** Word lengths of a round's file and the loopback, if they differ. */
function unlikeWords(
  bits: number | undefined,
  { captures, signal }: UsedCalibration,
): UnlikeWords | undefined {
  const [heardStep, ownStep] = [bits ?? enoughBits, shortest(captures)].map(stepOf);
  return heardStep === ownStep ? undefined : { heardStep, ownStep, sampleRate: signal.sampleRate };
}

/** Quantisation step for this many bits, full scale 1; 0 if negligible. */
const stepOf = (bits: number) => (bits >= enoughBits ? 0 : 2 ** (1 - bits));

function shortest(files: readonly { readonly bits: number }[]): number {
  return Math.min(...files.map(({ bits }) => bits));
}

type TakeCalibration = UsedCalibration & Pick<PathCalibration, "words">;

function withoutInterface(
  one: MeasuredTake,
  input: string | undefined,
  desk: Desk,
  calibration: TakeCalibration,
): MeasuredTake {
  const fit = pathCalibration(one, input, desk, calibration);
  if (!one.measurement || !fit) return one;
  return { ...one, measurement: calibrateMeasurement(one.measurement, fit) };
}

type SocketOfPath = Pick<Desk["inputs"][number], "name" | "nominalDbu" | "sourceOhm">;

type Misfit = Extract<Doubt, { readonly code: "calibration-misfit" }>["misfit"];

/** Why the calibration does not fit. */
function misfitOf(
  takes: MeasuredTakes,
  captures: readonly Pick<ReadCapture, "info">[],
  { signal, inputs }: UsedCalibration,
): Misfit | undefined {
  const rates = new Map(captures.map(({ info }) => [info.file, info.sampleRate]));
  const known = new Set(inputs.map(({ channel }) => channel));
  for (const { found, measurement } of [...takes.values()].flat()) {
    if (!measurement) continue;
    const rate = rates.get(found.file);
    if (rate !== signal.sampleRate) return { of: "rate", sampleRateHz: rate ?? 0 };
    if (found.band !== signal.band) return { of: "band", band: found.band };
    const channel = channelsOf(found, measurement.partner).find((one) => !known.has(one));
    if (channel !== undefined) return { of: "channel", channel };
  }
  return undefined;
}

function channelsOf(
  { channel, partner }: MeasuredTake["found"],
  measured: unknown,
): readonly number[] {
  return partner && measured ? [channel, partner.channel] : [channel];
}

function pathCalibration(
  { found }: MeasuredTake,
  inputName: string | undefined,
  desk: Desk,
  { inputs, volts, words }: TakeCalibration,
): PathCalibration | undefined {
  const input = inputs.find(({ channel }) => channel === found.channel);
  const partner = inputs.find(({ channel }) => channel === found.partner?.channel);
  const { referencePath } = desk;
  const sockets = referencePath === undefined ? desk.inputs : [...desk.inputs, referencePath];
  const socket: SocketOfPath | undefined = sockets.find(({ name }) => name === inputName);
  if (!input || !socket) return undefined;
  return {
    input,
    ...(partner ? { partner } : {}),
    socketDbu: socket.nominalDbu,
    // The level at the socket was set with the same meter, or one as good.
    socketDb: percentToDb(volts.meterPercent),
    ...(socket.sourceOhm === undefined ? {} : { sourceOhm: socket.sourceOhm }),
    ...(words ? { words } : {}),
  };
}
