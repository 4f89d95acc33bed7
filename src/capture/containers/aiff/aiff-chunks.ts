import type { CuePoint } from "../../types.js";
import { decodeChunkText } from "../plain-text.js";

/**
 * Contents of the chunks of AIFF (Apple, Audio Interchange File Format 1.3, 1989) and AIFF-C (Apple,
 * draft of 1991). Counts found in the file are bounds, never sizes to allocate.
 */

/** Contents of the `COMM` chunk. */
export interface Common {
  readonly channels: number;
  readonly frames: number;
  /** Bits of a sample; in the file it takes whole bytes, the unused bits last. */
  readonly bits: number;
  /** Hertz; NaN if the field holds no number. */
  readonly sampleRate: number;
  /** Four characters, in AIFF-C only. */
  readonly compression?: string;
}

/** Bytes of a `COMM` chunk: the most that are read, and the fewest that it has. */
export const mostCommonBytes = 22;
export const leastCommonBytes = 18;

/**
 * Reads a `COMM` chunk.
 *
 * @param bytes 18 at least
 * @example
 * const bytes = new Uint8Array(18);
 * const view = new DataView(bytes.buffer);
 * view.setUint16(0, 2);
 * view.setUint32(2, 1000);
 * view.setUint16(6, 24);
 * // 48 kHz in extended precision: 1.46484375·2^15.
 * view.setUint16(8, 0x400e);
 * view.setUint32(10, 0xbb80_0000);
 * readCommon(bytes); // { channels: 2, frames: 1000, bits: 24, sampleRate: 48000 }
 */
export function readCommon(bytes: Uint8Array): Common {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const compression = Buffer.from(bytes.subarray(18, 22)).toString("latin1");
  return {
    channels: view.getUint16(0),
    frames: view.getUint32(2),
    bits: view.getUint16(6),
    sampleRate: readExtended(view, 8),
    ...(bytes.length >= 22 ? { compression } : {}),
  };
}

/** A number of 80 bits, extended precision of IEEE 754: here always positive. */
function readExtended(view: DataView, at: number): number {
  const exponent = view.getUint16(at);
  const mantissa = Number(view.getBigUint64(at + 2));
  if (exponent >= 0x7fff) return Number.NaN;
  return mantissa * 2 ** (exponent - 16_383 - 63);
}

/** Bytes of markers that are read; each has eight or more. */
export const mostMarkBytes = 1 << 20;

/**
 * Markers of a `MARK` chunk, in the order of the file.
 *
 * @example
 * // One marker at frame 9, "go".
 * const bytes = Uint8Array.of(0, 1, 0, 1, 0, 0, 0, 9, 2, 103, 111, 0);
 * readMarks(bytes); // [{ position: 9, label: "go" }]
 */
export function readMarks(bytes: Uint8Array): readonly CuePoint[] {
  const marks: CuePoint[] = [];
  if (bytes.length < 2) return marks;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const count = view.getUint16(0);
  for (let at = 2; marks.length < count && at + 7 <= bytes.length; ) {
    const length = bytes[at + 6];
    const label = decodeChunkText(bytes.subarray(at + 7, at + 7 + length));
    marks.push({ position: view.getUint32(at + 2), label });
    // A text with its length byte takes an even number of bytes.
    at += 7 + length + ((length + 1) % 2);
  }
  return marks;
}
