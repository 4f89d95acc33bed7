import { voltsToDbu, zeroDbuVolts } from "../../dsp/dbu.js";
import { amplitudeToDb, dbToAmplitude } from "../../dsp/decibels.js";
import { formatSigned } from "../../text/format-signed.js";
import type { KnownLevel } from "./loopback.js";

/** Reading of a voltmeter, V r.m.s. */
export interface MeterReading {
  readonly volts: number;
  /** Value of the last digit shown, volts; 0 if not given. */
  readonly stepVolts: number;
}

/** A voltage with its expanded uncertainty (95 %), volts. */
export interface MeteredVolts {
  readonly value: number;
  readonly uncertainty: number;
}

/**
 * A meter's reading with the uncertainties of the meter and of its last digit, uniform over the
 * digit (JCGM 100, F.2.2.1), in quadrature.
 *
 * @param percent expanded uncertainty of the meter, per cent of the voltage
 * @example
 * // 1 % of 1.2 V, and a last digit of 1 mV: 2·0.001/√12 V.
 * computeMeteredVolts({ volts: 1.2, stepVolts: 0.001 }, 1).uncertainty.toFixed(5); // "0.01201"
 */
export function computeMeteredVolts(
  { volts, stepVolts }: MeterReading,
  percent: number,
): MeteredVolts {
  const digit = (2 * stepVolts) / Math.sqrt(12);
  return { value: volts, uncertainty: Math.hypot((volts * percent) / 100, digit) };
}

/**
 * The same as a level.
 *
 * @example
 * // 0 dBu is √0.6 V.
 * computeKnownLevel({ value: Math.sqrt(0.6), uncertainty: 0 }).dbu; // 0
 */
export function computeKnownLevel({ value, uncertainty }: MeteredVolts): KnownLevel {
  return { dbu: voltsToDbu(value), uncertaintyDb: amplitudeToDb(1 + uncertainty / value) };
}

/** Full scale of an interface's output and input as a level, dBu; common practice, wide. */
const outputFullScale = { least: -14, most: 30 } as const;
const inputFullScale = { least: -75, most: 34 } as const;

/**
 * Why a voltage at the interface's output is implausible, in words; undefined for a plausible one.
 * Rejects millivolts typed as volts, or a level in dBu.
 *
 * @param nominalDbfs level of the tone measured
 * @example
 * validateOutputVolts(1.228, -18); // undefined
 * validateOutputVolts(1228, -18) === undefined; // false
 */
export function validateOutputVolts(volts: number, nominalDbfs: number): string | undefined {
  if (!(volts > 0)) return "a voltage r.m.s. is more than 0 V";
  const fullScale = voltsToDbu(volts) - nominalDbfs;
  if (fullScale > outputFullScale.most) {
    return `no interface gives more than ${shownVolts(outputFullScale.most + nominalDbfs)} with the tone at ${formatSigned(String(nominalDbfs))} dBFS`;
  }
  if (fullScale < outputFullScale.least) {
    return `an output turned up gives more than ${shownVolts(outputFullScale.least + nominalDbfs)} with the tone at ${formatSigned(String(nominalDbfs))} dBFS`;
  }
  return undefined;
}

/**
 * The same for the voltage at the input.
 *
 * @param outputVolts at the other end of the loop
 * @example
 * validateInputVolts(1.2, 1.228); // undefined
 * validateInputVolts(2, 1.228); // "a cable or a pad gives no more than the output does"
 */
export function validateInputVolts(volts: number, outputVolts: number): string | undefined {
  if (!(volts > 0)) return "a voltage r.m.s. is more than 0 V";
  const slack = 1.05;
  if (volts > slack * outputVolts) return "a cable or a pad gives no more than the output does";
  return undefined;
}

/**
 * Why the input's scale is implausible, in words.
 *
 * @param fullScaleDbu level at the input that comes back as 0 dBFS
 * @example
 * validateInputScale(20); // undefined
 * validateInputScale(60) === undefined; // false
 */
export function validateInputScale(fullScaleDbu: number): string | undefined {
  const { least, most } = inputFullScale;
  if (fullScaleDbu >= least && fullScaleDbu <= most) return undefined;
  return `full scale of the input would be ${formatSigned(String(Number(fullScaleDbu.toFixed(1))))} dBu; interfaces have ${formatSigned(String(least))} to ${most} dBu`;
}

function shownVolts(dbu: number): string {
  return `${Number((zeroDbuVolts * dbToAmplitude(dbu)).toPrecision(2))} V`;
}
