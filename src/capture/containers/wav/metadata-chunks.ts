import type { CuePoint, RecordingInfo } from "../../types.js";
import { decodeChunkText } from "../plain-text.js";

/**
 * Metadata of a WAV file: `bext` (EBU Tech 3285) and `cue ` with `LIST` `adtl` (Multimedia
 * Programming Interface). Counts found in the file are bounds, never sizes to allocate.
 */

/** Bytes of a `bext` chunk up to where the coding history begins. */
export const maxBextBytes = 602;
/** A cue point has 24 bytes; more points than this are not read. */
export const maxCueBytes = 4 + 24 * 4096;
export const maxLabelBytes = 1 << 20;

/**
 * Reads a `bext` chunk: EBU Tech 3285.
 *
 * @example
 * const bytes = new Uint8Array(602);
 * bytes.set(Buffer.from("evening"), 0);
 * readBext(bytes).description; // "evening"
 */
export function readBext(bytes: Uint8Array): NonNullable<RecordingInfo["bext"]> {
  const timeReference = timeReferenceOf(bytes);
  return {
    ...(timeReference === undefined ? {} : { timeReference }),
    description: decodeChunkText(bytes.subarray(0, 256)),
    originator: decodeChunkText(bytes.subarray(256, 288)),
    originatorReference: decodeChunkText(bytes.subarray(288, 320)),
  };
}

/**
 * The low and the high half of the time reference (EBU Tech 3285); 0 means that the field is not
 * filled.
 */
function timeReferenceOf(bytes: Uint8Array): number | undefined {
  if (bytes.length < 346) return undefined;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const time = Number(view.getBigUint64(338, true));
  return time > 0 && Number.isSafeInteger(time) ? time : undefined;
}

/**
 * Cue points in the order of the file, each with its label or an empty one.
 *
 * @param cue contents of the `cue ` chunk
 * @param labels by identifier, from `readLabels`
 * @example
 * const bytes = new Uint8Array(28);
 * const view = new DataView(bytes.buffer);
 * view.setUint32(0, 1, true);
 * view.setUint32(4, 7, true);
 * view.setUint32(24, 480, true);
 * readCues(bytes, new Map([[7, "tone"]])); // [{ position: 480, label: "tone" }]
 */
export function readCues(
  cue: Uint8Array,
  labels: ReadonlyMap<number, string>,
): readonly CuePoint[] {
  if (cue.length < 4) return [];
  const view = new DataView(cue.buffer, cue.byteOffset, cue.length);
  const count = Math.min(view.getUint32(0, true), Math.floor((cue.length - 4) / 24));
  return Array.from({ length: count }, (_, k) => {
    const at = 4 + 24 * k;
    // Some writers fill only one of the two fields.
    const position = view.getUint32(at + 20, true) || view.getUint32(at + 4, true);
    return { position, label: labels.get(view.getUint32(at, true)) ?? "" };
  });
}

/**
 * Labels of cue points from the contents of a `LIST` chunk; empty unless its form is `adtl`.
 *
 * @example
 * const list = Buffer.from("adtllabl\u0009\0\0\0\u0007\0\0\0tone\0\0", "latin1");
 * readLabels(list).get(7); // "tone"
 */
export function readLabels(list: Uint8Array): ReadonlyMap<number, string> {
  const labels = new Map<number, string>();
  if (fourCc(list, 0) !== "adtl") return labels;
  const view = new DataView(list.buffer, list.byteOffset, list.length);
  let at = 4;
  while (at + 8 <= list.length) {
    const size = view.getUint32(at + 4, true);
    const end = Math.min(at + 8 + size, list.length);
    if (fourCc(list, at) === "labl" && end - at >= 12) {
      labels.set(view.getUint32(at + 8, true), decodeChunkText(list.subarray(at + 12, end)));
    }
    at += 8 + size + (size % 2);
  }
  return labels;
}

function fourCc(bytes: Uint8Array, at: number): string {
  return String.fromCharCode(...bytes.subarray(at, at + 4));
}
