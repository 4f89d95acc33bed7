import { DeskroundError } from "../../errors.js";

/** More channels than a recording of a desk has. */
export const maxChannels = 64;
const lowestRate = 44_100;
const highestRate = 192_000;

/**
 * Checks the sample rate in a header.
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

/**
 * Quantisation noise is 98 dB below full scale at 16 bits (6.02 dB per bit plus 1.76), 50 dB at 8.
 */
const leastBits = 16;

/** How a header says that samples are stored. */
export interface Word {
  readonly sampleFormat: "int" | "float";
  /** Bits that carry a sample, without padding to whole bytes. */
  readonly bits: number;
}

/**
 * Checks the word length in a header. Shorter integers are rejected in all kinds of file: their
 * noise and steps would be mistaken for the desk's.
 *
 * @param name of the file, as messages show it
 * @param readable word lengths supported for this kind of file, if not all from 16 on
 * @throws DeskroundError `recording-unsupported`
 * @example
 * checkWord({ sampleFormat: "int", bits: 24 }, "a.wav"); // undefined
 * let message;
 * try {
 *   checkWord({ sampleFormat: "int", bits: 8 }, "a.aiff");
 * } catch (error) {
 *   message = error.message;
 * }
 * message; // "a.aiff: has integer samples of 8 bits; 16 or more are needed."
 */
export function checkWord(
  { sampleFormat, bits }: Word,
  name: string,
  readable?: readonly number[],
): void {
  if (sampleFormat === "int" && bits < leastBits) {
    throw new DeskroundError(
      "recording-unsupported",
      `${name}: has integer samples of ${bits} bits; ${leastBits} or more are needed.`,
      "Record again with 24 bits: more bits put in afterwards bring nothing back.",
    );
  }
  if (readable === undefined || readable.includes(bits)) return;
  const kind = sampleFormat === "int" ? "integer" : "float";
  throw new DeskroundError(
    "recording-unsupported",
    `${name}: has ${kind} samples of ${bits} bits; ${readable.slice(0, -1).join(", ")} and ${readable.at(-1)} bits are read.`,
    "Save it again with 24 bits, or as WAV with float samples.",
  );
}
