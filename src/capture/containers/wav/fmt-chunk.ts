import { DeskroundError } from "../../../errors.js";
import { checkRate, checkWord, maxChannels } from "../bounds.js";
import { toDisplayName } from "../open-file.js";

/** How samples are stored in the `data` chunk. */
export interface SampleFormat {
  readonly sampleFormat: "int" | "float";
  readonly bits: number;
  readonly channels: number;
  readonly sampleRate: number;
  readonly frameBytes: number;
}

/** Bytes of a `fmt ` chunk that are read. */
export const maxFormatBytes = 40;

/** Format tags: RFC 2361 and the Multimedia Programming Interface. */
const tagPcm = 1;
const tagFloat = 3;
const tagExtensible = 0xfffe;
const compressedTags: Readonly<Record<number, string>> = {
  2: "ADPCM",
  6: "A-law",
  7: "µ-law",
  17: "IMA ADPCM",
  49: "GSM 6.10",
  80: "MPEG",
  85: "MPEG layer 3",
};
/** The 14 bytes that follow the tag in the sub-format of WAVE_FORMAT_EXTENSIBLE. */
const extensibleTail = [0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71];

/**
 * Reads and checks a `fmt ` chunk.
 *
 * @param bytes its first 40 bytes, or all when it is shorter
 * @param file named in errors
 * @throws DeskroundError `recording-damaged` when it contradicts itself, `recording-unsupported` otherwise
 * @example
 * const bytes = new Uint8Array(16);
 * const view = new DataView(bytes.buffer);
 * view.setUint16(0, 1, true);
 * view.setUint16(2, 2, true);
 * view.setUint32(4, 48_000, true);
 * view.setUint32(8, 288_000, true);
 * view.setUint16(12, 6, true);
 * view.setUint16(14, 24, true);
 * const format = readFormat(bytes, "a.wav");
 * format.bits; // 24
 * format.channels; // 2
 */
export function readFormat(bytes: Uint8Array, file: string): SampleFormat {
  const name = toDisplayName(file);
  if (bytes.length < 16) {
    throw damaged(`${name}: its format chunk has ${bytes.length} bytes; at least 16 are needed.`);
  }
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const channels = view.getUint16(2, true);
  const sampleRate = view.getUint32(4, true);
  const frameBytes = view.getUint16(12, true);
  const bits = view.getUint16(14, true);
  const sampleFormat = readSampleFormat(view, name);
  checkWord({ sampleFormat, bits }, name, sampleFormat === "int" ? [16, 24, 32] : [32, 64]);
  const validBits = readValidBits(view);
  if (sampleFormat === "int" && validBits > 0 && validBits < bits) {
    checkWord({ sampleFormat, bits: validBits }, name);
  }
  if (channels === 0) throw damaged(`${name}: its header says 0 channels.`);
  if (channels > maxChannels) {
    throw unsupported(`${name}: has ${channels} channels; up to ${maxChannels} are read.`);
  }
  if (frameBytes !== (channels * bits) / 8) {
    throw damaged(
      `${name}: its header contradicts itself: ${channels} channels of ${bits} bits need ${(channels * bits) / 8} bytes a frame, but it says ${frameBytes}.`,
    );
  }
  checkRate(sampleRate, name);
  return { sampleFormat, bits, channels, sampleRate, frameBytes };
}

/** Valid bits per sample from WAVE_FORMAT_EXTENSIBLE; 0 if absent. */
function readValidBits(view: DataView): number {
  return view.getUint16(0, true) === tagExtensible ? view.getUint16(18, true) : 0;
}

function readSampleFormat(view: DataView, name: string): "int" | "float" {
  let tag = view.getUint16(0, true);
  if (tag === tagExtensible) {
    if (view.byteLength < 40) {
      throw damaged(`${name}: its extensible format chunk is cut short.`);
    }
    if (!extensibleTail.every((byte, k) => view.getUint8(26 + k) === byte)) {
      throw unsupported(`${name}: has an unknown sub-format in its extensible format chunk.`);
    }
    tag = view.getUint16(24, true);
  }
  if (tag === tagPcm) return "int";
  if (tag === tagFloat) return "float";
  const kind = compressedTags[tag];
  throw unsupported(
    kind === undefined
      ? `${name}: has samples of an unknown kind (format tag ${tag}).`
      : `${name}: is compressed (${kind}, format tag ${tag}).`,
  );
}

function damaged(message: string): DeskroundError {
  return new DeskroundError(
    "recording-damaged",
    message,
    "Record it again, or save it as WAV again.",
  );
}

function unsupported(message: string): DeskroundError {
  const hint = "Record or save it as WAV: PCM of 16, 24 or 32 bits, or float.";
  return new DeskroundError("recording-unsupported", message, hint);
}
