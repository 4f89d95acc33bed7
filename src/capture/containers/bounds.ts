import { DeskroundError } from "../../errors.js";

/** More channels than a recording of a desk has. */
export const maxChannels = 64;
const lowestRate = 44_100;
const highestRate = 192_000;

/**
 * Checks the sample rate that a header says.
 *
 * @param sampleRate hertz
 * @param name of the file, as messages show it
 * @throws DeskroundError `recording-unsupported`
 * @example
 * checkRate(48_000, "a.wav"); // undefined
 * let code;
 * try {
 *   checkRate(8000, "a.wav");
 * } catch (error) {
 *   code = error.code;
 * }
 * [code]; // ["recording-unsupported"]
 */
export function checkRate(sampleRate: number, name: string): void {
  if (sampleRate >= lowestRate && sampleRate <= highestRate) return;
  throw new DeskroundError(
    "recording-unsupported",
    `${name}: has a sample rate of ${sampleRate} Hz; 44.1 to 192 kHz are read.`,
    "Record at the rate of the test signal, and do not convert afterwards.",
  );
}
