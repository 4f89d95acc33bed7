import { type OpenFile, shrunkError } from "../open-file.js";
import { computeCrc16 } from "./crc.js";
import {
  type FrameHeader,
  type FrameShape,
  mostHeaderBytes,
  readFrameHeader,
} from "./frame-header.js";

/** A complete frame: its 16-bit checksum is correct. */
export interface WholeFrame extends FrameHeader {
  /** Byte of the file at which it begins. */
  readonly offset: number;
  /** Byte of the file after its last. */
  readonly end: number;
}

/** Looks for frames by their synchronisation codes and checksums: they carry no length. */
export interface FrameFinder {
  /**
   * The frame that begins at a byte.
   *
   * @returns undefined if none begins there, or it is damaged
   */
  frameAt(offset: number): WholeFrame | undefined;
  /**
   * The first frame that begins at or after one byte and before another. Damaged frames are
   * skipped.
   */
  firstFrom(offset: number, until: number): WholeFrame | undefined;
  /** The header at a byte, without checking the frame. */
  headerAt(offset: number): FrameHeader | undefined;
  /** The bytes of a frame; valid until the next call of any of these. */
  bytesOf(frame: WholeFrame): Uint8Array;
}

const leastBufferBytes = 1 << 18;
/**
 * Bytes read in vain after false headers before a search is given up; far more than usual damage
 * causes.
 */
const mostWastedBytes = 64 << 20;

/**
 * Largest possible size of a frame, bytes: samples uncompressed, one bit more for the side channel
 * of a pair, and a margin for other contents.
 *
 * @example
 * // 16 bits of 4096 frames, with one more for a side channel, a tenth and 512 bytes of room.
 * mostFrameBytes({ channels: 1, bits: 16, mostFrames: 4096 }); // 10087
 */
export function mostFrameBytes({ channels, bits, mostFrames }: FrameShape): number {
  return 512 + Math.ceil((1.1 * channels * (bits + 1) * mostFrames) / 8);
}

/**
 * @param end byte of the file after the last frame
 * @example
 * const source = openFile(recording);
 * const info = inspectFlac(source);
 *
 * const finder = createFrameFinder(source, { ...info, ...info.layout }, info.layout.dataEnd);
 * finder.frameAt(info.dataOffset).firstFrame; // 0
 * source.close();
 */
export function createFrameFinder(source: OpenFile, shape: FrameShape, end: number): FrameFinder {
  const frameBytes = mostFrameBytes(shape);
  const buffer = new Uint8Array(Math.max(leastBufferBytes, 2 * frameBytes));
  let heldFrom = 0;
  let held = buffer.subarray(0, 0);
  let wasted = 0;

  /** Reads bytes into the buffer, up to the end of the stream; those it already holds are moved. */
  function hold(offset: number, count: number): void {
    const until = Math.min(end, offset + count);
    if (offset >= heldFrom && until <= heldFrom + held.length) return;
    const kept = offset - heldFrom;
    let have = 0;
    if (kept >= 0 && kept < held.length) {
      have = held.length - kept;
      buffer.copyWithin(0, kept, held.length);
    }
    const target = buffer.subarray(have, Math.max(have, Math.min(buffer.length, end - offset)));
    heldFrom = offset;
    held = buffer.subarray(0, have + target.length);
    if (source.readInto(target, offset + have) < target.length) throw shrunkError(source.file);
  }

  function headerAt(offset: number): FrameHeader | undefined {
    hold(offset, mostHeaderBytes);
    return readFrameHeader(held, offset - heldFrom, shape);
  }

  function frameAt(offset: number): WholeFrame | undefined {
    const header = headerAt(offset);
    if (header === undefined) return undefined;
    hold(offset, frameBytes);
    const from = offset - heldFrom;
    const limit = Math.min(held.length, from + frameBytes);
    const next = header.firstFrame + header.frames;
    let crc = 0;
    let summed = from;
    for (let at = from + header.bytes; ; at++) {
      at = nextSync(held, at, limit);
      if (at < 0) break;
      crc = computeCrc16(held, summed, at, crc);
      summed = at;
      if (crc === 0) return { ...header, offset, end: heldFrom + at };
      // A frame ends where the next one begins.
      if (readFrameHeader(held, at, shape)?.firstFrame === next) {
        wasted += at - from;
        return undefined;
      }
    }
    const last = end - heldFrom;
    if (last <= limit && computeCrc16(held, summed, last, crc) === 0) {
      return { ...header, offset, end };
    }
    wasted += limit - from;
    return undefined;
  }

  return {
    frameAt,
    headerAt,
    firstFrom(offset, until) {
      wasted = 0;
      let at = offset;
      while (at < until && wasted < mostWastedBytes) {
        hold(at, Math.min(buffer.length, until - at + 1));
        const sync = nextSync(held, at - heldFrom, held.length);
        if (sync < 0) {
          // A code may straddle the end of the buffer.
          const reached = heldFrom + held.length - 1;
          if (reached <= at || reached >= end - 1) return undefined;
          at = reached;
          continue;
        }
        at = heldFrom + sync;
        if (at >= until) return undefined;
        const found = frameAt(at);
        if (found !== undefined) return found;
        at++;
      }
      return undefined;
    },
    bytesOf({ offset, end: frameEnd }) {
      hold(offset, frameEnd - offset);
      return held.subarray(offset - heldFrom, frameEnd - heldFrom);
    },
  };
}

/** The next synchronisation code: 15 fixed bits, and one that may be either. */
function nextSync(bytes: Uint8Array, from: number, until: number): number {
  for (let at = from; ; at++) {
    at = bytes.indexOf(0xff, at);
    if (at < 0 || at + 1 >= until) return -1;
    if ((bytes[at + 1] & 0xfe) === 0xf8) return at;
  }
}
