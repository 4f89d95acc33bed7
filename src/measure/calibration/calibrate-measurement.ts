import { dbPerNeper, dbToAmplitude, powerToDb } from "../../dsp/decibels.js";
import { type Absence, type Absent, isAbsent } from "../absence.js";
import { markBounds } from "../curve-bounds.js";
import type { OwnShare } from "../reading-kind.js";
import { findReadingKind } from "../reading-kinds.js";
import { computeEquivalentInputNoise, ein } from "../readings/ein.js";
import { gain, level } from "../readings/level.js";
import { noise20k } from "../readings/noise.js";
import { noiseSlope } from "../readings/noise-slope.js";
import { polarity } from "../readings/polarity.js";
import { balance } from "../readings/stereo.js";
import type { Curve, Measurement, Reading, Readings, SideMeasurement } from "../types.js";
import { correctCorners } from "./corrected-corners.js";
import { calibrateCurves } from "./corrected-curves.js";
import { computeResponseRise, withResponse } from "./response-share.js";
import { computeRise, pairSteadyParts } from "./steady-parts.js";
import { subtractInterface } from "./subtract-interface.js";
import type { InputCalibration, PathCalibration } from "./types.js";
import { computeWordNoise } from "./word-noise.js";

/**
 * Removes the interface from a measurement.
 *
 * - Levels become dBu (0 dBu = √0.6 V), the gain becomes that from the socket to the output.
 * - The interface's response is divided out of the curve, and its noise, distortion and delay are removed from the readings as far as justified; see `subtractInterface`.
 * - If the source is known, the equivalent input noise is added.
 * - Uncertainties of the calibration are added in quadrature (JCGM 100, 5.1.2); the part shared by all paths is in `common`. The argument is not changed; readings without a counterpart in the interface are unchanged.
 *
 * @example
 * const level = { value: -18, unit: "dBFS", uncertainty: 0.001 };
 * const fullScale = { value: 22, unit: "dBu", uncertainty: 0.1 };
 * const input = { channel: 0, returns: 1, fullScale, readings: {}, curves: {} };
 * const measured = { readings: { level }, absent: {}, curves: {} };
 * const { readings } = calibrateMeasurement(measured, { input, socketDbu: -40, socketDb: 0.09 });
 * readings.level.value; // 4
 * // From −40 dBu at the socket to 4 dBu at the output.
 * readings.gain.value; // 44
 */
export function calibrateMeasurement(
  measured: Measurement,
  calibration: PathCalibration,
): Measurement {
  const { input, partner } = calibration;
  const through = outputShare(measured.readings, input);
  const cleared = clearedReadings(measured, calibration, through);
  const curves = markBounds(calibrateCurves(measured.curves, calibration, through));
  const { [level.id]: out, [balance.id]: sides } = cleared;
  const made = {
    ...Object.fromEntries(Object.entries(cleared).map(([id, one]) => [id, inDbu(one, input)])),
    ...(out ? { [gain.id]: trueGain(out, calibration) } : {}),
    ...(sides && partner
      ? { [balance.id]: trueBalance(sides, measured.partner, calibration) }
      : {}),
    ...correctCorners(cleared, measured.absent, measured.curves, curves, input.curves),
    ...optional(noiseSlope.id, limitedSlope(cleared[noiseSlope.id], measured, input)),
    ...optional(ein.id, inputNoise(cleared, calibration)),
  };
  const readings: Record<string, Reading> = {};
  const absent: Record<string, Absence> = { ...measured.absent };
  for (const [id, one] of Object.entries(made)) {
    if (isAbsent(one)) absent[id] = one.absent;
    else {
      readings[id] = one;
      delete absent[id];
    }
  }
  const side = measured.partner;
  const { marks, steps } = measured;
  return {
    readings,
    absent,
    curves,
    ...(marks ? { marks } : {}),
    ...(steps ? { steps } : {}),
    ...(side ? { partner: otherSide(side, calibration) } : {}),
  };
}

function optional(id: string, one: Reading | Absent | undefined) {
  return one === undefined ? {} : { [id]: one };
}

/**
 * An older calibration may lack the noise in that band: the interface's would count as the path's.
 */
function inputNoise(cleared: Readings, calibration: PathCalibration): Reading | Absent | undefined {
  const made = computeEquivalentInputNoise(cleared, calibration);
  if (made === undefined || isAbsent(made) || calibration.input.readings[noise20k.id]) return made;
  return { absent: { code: "calibration-without-noise" } };
}

/** Bands from which the slope of the noise is computed, Hz. */
const slopeBand = { fromHz: 24, toHz: 410 } as const;

/**
 * The slope of the noise is limited by the interface if the noise in its bands is within 3 dB of
 * the interface's.
 */
function limitedSlope(
  slope: Reading | undefined,
  { curves }: Measurement,
  input: InputCalibration,
): Reading | undefined {
  const own = input.curves.noise;
  if (!slope || !curves.noise || !own) return slope;
  const power = (curve: Curve) =>
    curve.x.reduce((sum, hz, i) => {
      const inside = hz > slopeBand.fromHz && hz < slopeBand.toHz;
      return inside ? sum + dbToAmplitude(curve.y[i]) ** 2 : sum;
    }, 0);
  return power(curves.noise) <= 2 * power(own) ? { ...slope, limitedBy: "interface" } : slope;
}

/** The second side of a stereo bus, calibrated with the input that recorded it. */
function otherSide(side: SideMeasurement, calibration: PathCalibration): SideMeasurement {
  const { partner, ...rest } = calibration;
  if (!partner) return side;
  return { side: side.side, ...calibrateMeasurement(side, { ...rest, input: partner }) };
}

/**
 * Interface output noise returned through the path, relative to the loopback, as a power ratio: the
 * same as for the tone.
 */
function outputShare(readings: Readings, input: InputCalibration): number {
  const [through, looped] = [readings[gain.id], input.readings[gain.id]];
  if (!through || !looped) return 1;
  return dbToAmplitude(through.value - looped.value) ** 2;
}

/** The readings without the interface's share, levels still in dBFS. */
function clearedReadings(
  measured: Measurement,
  { input, words }: PathCalibration,
  through: number,
): Readings {
  const { readings } = measured;
  const own = input.readings;
  const cleared: Record<string, Reading> = {};
  for (const [id, reading] of Object.entries(readings)) {
    const kind = findReadingKind(id);
    const mine = own[id];
    if (!kind?.own || !mine) {
      cleared[id] = reading;
      continue;
    }
    // Relative to the tone, the input's noise counts less the higher the level.
    const outputShare = kind.unit === "dBFS" ? through : 1 / through;
    const alone = subtractInterface(reading, mine, kind.own, {
      outputShare,
      steady: pairSteadyParts(kind.own, measured, input, outputShare),
      words: computeWordNoise(kind.own, words, {
        heard: referencePower(kind.own, readings),
        own: referencePower(kind.own, own),
      }),
      riseDb: computeRise(id, kind.own, own, powerToDb(through)),
    });
    const { curves } = measured;
    cleared[id] = withResponse(
      alone,
      computeResponseRise(reading, kind.own, readings, curves, input.curves.response),
    );
  }
  const [heard, looped] = [readings[polarity.id], own[polarity.id]];
  if (heard && looped) cleared[polarity.id] = { ...heard, value: heard.value * looped.value };
  return cleared;
}

/** Power of the level that a reading is relative to; 1 for an absolute reading. */
function referencePower(share: OwnShare, readings: Readings): number {
  const against = share.adds === "power" ? share.against : undefined;
  return 10 ** ((against === undefined ? 0 : (readings[against]?.value ?? 0)) / 10);
}

function inDbu(reading: Reading, { fullScale }: InputCalibration): Reading {
  if (reading.unit !== "dBFS") return reading;
  return {
    ...reading,
    value: reading.value + fullScale.value,
    unit: "dBu",
    uncertainty: Math.hypot(reading.uncertainty, fullScale.uncertainty),
    common: Math.hypot(reading.common ?? 0, fullScale.uncertainty),
  };
}

/** Output level minus socket level, both in dBu. */
function trueGain(heard: Reading, { input, socketDbu, socketDb }: PathCalibration): Reading {
  const out = inDbu(heard, input);
  return {
    value: out.value - socketDbu,
    unit: "dB",
    uncertainty: Math.hypot(out.uncertainty, socketDb),
    common: Math.hypot(out.common ?? 0, socketDb),
  };
}

/**
 * Balance at the inputs: that of the recording plus the difference of the two inputs' scales. The
 * meter's error is the same in both scales and cancels.
 */
function trueBalance(
  heard: Reading,
  other: SideMeasurement | undefined,
  { input, partner = input }: PathCalibration,
): Reading {
  const [left, right] = other?.side === "left" ? [partner, input] : [input, partner];
  const doubt = Math.hypot(ownLevelDoubt(left), ownLevelDoubt(right));
  return {
    ...heard,
    value: heard.value + left.fullScale.value - right.fullScale.value,
    uncertainty: Math.hypot(heard.uncertainty, doubt),
    common: Math.hypot(heard.common ?? 0, doubt),
  };
}

function ownLevelDoubt({ readings }: InputCalibration): number {
  return readings[level.id]?.uncertainty ?? 0;
}

/**
 * Decibels of a relative uncertainty in per cent, to first order.
 *
 * @example
 * // 20·lg e dB for each neper.
 * percentToDb(1).toFixed(4); // "0.0869"
 */
export function percentToDb(percent: number): number {
  return (dbPerNeper * percent) / 100;
}
