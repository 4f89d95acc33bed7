import { computeCrc8, computeCrc16 } from "./crc.js";

/** Properties that every frame of a FLAC stream must have. */
export interface FrameShape {
  readonly channels: number;
  readonly bits: number;
  readonly sampleRate: number;
  /** Sample frames in every FLAC frame except the last, for a stream of fixed block size. */
  readonly blockFrames: number;
  /** Sample frames in the longest FLAC frame. */
  readonly mostFrames: number;
}

/** Header of a frame. */
export interface FrameHeader {
  /** Sample frame of the stream at which it begins. */
  readonly firstFrame: number;
  /** Sample frames it holds. */
  readonly frames: number;
  /** Bytes of the header, its checksum included. */
  readonly bytes: number;
}

/** The longest header: a number of seven bytes, block size and rate of two each, and its checksum. */
export const mostHeaderBytes = 16;

/** Sample rates by their code, hertz; RFC 9639, table 15. */
const rates = [
  undefined,
  88_200,
  176_400,
  192_000,
  8000,
  16_000,
  22_050,
  24_000,
  32_000,
  44_100,
  48_000,
  96_000,
];
/** Bits per sample by their code; RFC 9639, table 17. */
const depths = [undefined, 8, 12, undefined, 16, 20, 24, 32];
/** Channel codes from here on are two channels, one of them a difference; RFC 9639, table 16. */
const firstStereoCode = 8;
const lastStereoCode = 10;

/**
 * Reads the header of a frame: RFC 9639, section 9.1.
 *
 * @param bytes at least 16 from `at` on, or up to the end of the file
 * @param at where its synchronisation code begins
 * @param shape of the stream, with which it must agree
 * @returns undefined if there is no such header, or its checksum fails
 * @example
 * const source = openFile(recording);
 * const info = inspectFlac(source);
 *
 * const bytes = new Uint8Array(16);
 * source.readInto(bytes, info.dataOffset);
 * const shape = { ...info, ...info.layout };
 * readFrameHeader(bytes, 0, shape).frames; // 4096
 * readFrameHeader(bytes, 1, shape); // undefined
 * source.close();
 */
export function readFrameHeader(
  bytes: Uint8Array,
  at: number,
  shape: FrameShape,
): FrameHeader | undefined {
  if (at + 6 > bytes.length || bytes[at] !== 0xff || (bytes[at + 1] & 0xfe) !== 0xf8) {
    return undefined;
  }
  const isVariable = (bytes[at + 1] & 1) === 1;
  const sizeCode = bytes[at + 2] >> 4;
  const rateCode = bytes[at + 2] & 15;
  const channelCode = bytes[at + 3] >> 4;
  const depthCode = (bytes[at + 3] >> 1) & 7;
  if (sizeCode === 0 || rateCode === 15 || (bytes[at + 3] & 1) === 1) return undefined;
  if (channelsOf(channelCode) !== shape.channels) return undefined;
  if (depthCode !== 0 && depths[depthCode] !== shape.bits) return undefined;
  const isCoded = rateCode > 0 && rateCode < rates.length;
  if (isCoded && rates[rateCode] !== shape.sampleRate) return undefined;

  let end = at + 4;
  const lead = bytes[end++];
  const more = continuationBytes(lead);
  if (more < 0) return undefined;
  let number = more === 0 ? lead : lead & (0x3f >> more);
  for (let k = 0; k < more; k++, end++) {
    if ((bytes[end] & 0xc0) !== 0x80) return undefined;
    number = 64 * number + (bytes[end] & 0x3f);
  }
  let frames = framesOf(sizeCode);
  if (sizeCode === 6) frames = bytes[end++] + 1;
  if (sizeCode === 7) {
    frames = 256 * bytes[end] + bytes[end + 1] + 1;
    end += 2;
  }
  if (rateCode >= rates.length) {
    const wide = rateCode > rates.length;
    const value = wide ? 256 * bytes[end] + bytes[end + 1] : bytes[end];
    end += wide ? 2 : 1;
    const factor = rateCode === 12 ? 1000 : rateCode === 13 ? 1 : 10;
    if (value * factor !== shape.sampleRate) return undefined;
  }
  if (end >= bytes.length || computeCrc8(bytes, at, end) !== bytes[end]) return undefined;
  if (frames > shape.mostFrames) return undefined;
  // With fixed block size the number counts frames; with variable size it is the first sample.
  const firstFrame = isVariable ? number : number * shape.blockFrames;
  return { firstFrame, frames, bytes: end + 1 - at };
}

/**
 * Writes a frame as the first of a new stream, with rate and word length in its header, so that it
 * can be decoded independently of other frames. Neither number nor rate affects the samples.
 *
 * @param frame whole, its checksums right
 * @param header of the frame
 * @param target where it is written; as long as the frame at least
 * @returns the used part of `target`
 * @example
 * const source = openFile(recording);
 * const info = inspectFlac(source);
 *
 * const shape = { ...info, ...info.layout };
 * const finder = createFrameFinder(source, shape, info.layout.dataEnd);
 * const second = finder.frameAt(finder.frameAt(info.dataOffset).end);
 * const alone = isolateFrame(finder.bytesOf(second), second, shape, new Uint8Array(second.end - second.offset + 16));
 * // It counts as the first of a stream.
 * readFrameHeader(alone, 0, shape).firstFrame; // 0
 * source.close();
 */
export function isolateFrame(
  frame: Uint8Array,
  header: FrameHeader,
  { bits }: FrameShape,
  target: Uint8Array,
): Uint8Array {
  target.set(frame.subarray(0, 4));
  if ((frame[2] & 15) === 0) target[2] |= rates.indexOf(48_000);
  if (((frame[3] >> 1) & 7) === 0) target[3] |= depths.indexOf(bits) << 1;
  target[4] = 0;
  const moved = continuationBytes(frame[4]);
  target.set(frame.subarray(5 + moved), 5);
  const headerEnd = header.bytes - moved - 1;
  target[headerEnd] = computeCrc8(target, 0, headerEnd);
  const end = frame.length - moved - 2;
  const crc = computeCrc16(target, 0, end);
  target[end] = crc >> 8;
  target[end + 1] = crc & 255;
  return target.subarray(0, end + 2);
}

function channelsOf(code: number): number {
  if (code < firstStereoCode) return code + 1;
  return code <= lastStereoCode ? 2 : 0;
}

/** Bytes that follow the first one of a number coded as in UTF-8, up to 36 bits; -1 for none such. */
function continuationBytes(lead: number): number {
  if (lead < 0x80) return 0;
  if (lead < 0xc0 || lead === 0xff) return -1;
  return Math.clz32(~(lead << 24)) - 1;
}

/** Samples of a channel by the code; RFC 9639, table 14. 6 and 7 are followed by the number. */
function framesOf(code: number): number {
  if (code === 1) return 192;
  return code < 6 ? 144 * 2 ** code : 2 ** code;
}
