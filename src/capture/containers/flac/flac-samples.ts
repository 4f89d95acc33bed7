import { createHash, type Hash } from "node:crypto";
import { openFile } from "../open-file.js";
import type { SampleReader } from "../sample-reader.js";
import { createFrameFinder, type FrameFinder, type WholeFrame } from "./find-frames.js";
import { createFlacDecoder } from "./flac-decoder.js";
import { isolateFrame } from "./frame-header.js";
import type { FlacInfo } from "./inspect-flac.js";

/** The samples of one FLAC frame, or a gap that could not be read. */
interface Block {
  readonly first: number;
  /** Sample frame after its last. */
  readonly until: number;
  /** Integers, one array per channel. */
  readonly channels?: readonly Float32Array[];
}

/** Largest number of sample frames read at once. */
const pieceFrames = 65_536;
/** If no more FLAC frames than this are left, they are skipped one by one. */
const fewBlocks = 8;
/** Number of interpolation steps; after them it bisects, which always ends. */
const mostLeaps = 8;

/**
 * Opens the samples of an inspected FLAC file. Frames are found by their checksums and decoded on
 * demand, a few at a time; damaged ones are returned as 0 and counted in `badSamples`.
 *
 * @throws DeskroundError `no-such-file`
 * @example
 * const source = openFile(recording);
 * const info = inspectFlac(source);
 *
 * source.close();
 * const reader = await openFlacSamples(info);
 * reader.frames === info.frames; // true
 * reader.close();
 */
export async function openFlacSamples(info: FlacInfo): Promise<SampleReader> {
  const { channels, bits, frames, dataOffset, layout } = info;
  const { dataEnd } = layout;
  const shape = { ...info, ...layout };
  const decoder = await createFlacDecoder(bits);
  const source = openFile(info.file);
  const finder = createFrameFinder(source, shape, dataEnd);
  const scale = 2 ** (1 - bits);
  const digest = layout.md5 === undefined ? undefined : digestOf(bits, channels, frames);
  let badSamples = 0;
  /** Decoded blocks, contiguous, up to the expected next frame. */
  let blocks: Block[] = [];
  let next = { offset: dataOffset, frame: 0 };
  let differs = false;
  let alone = new Uint8Array(0);

  /** Adds the next block: the samples of a frame, or the gap before it. */
  function advance(wanted: number): void {
    const frame = nextFrame();
    const until = frame?.firstFrame ?? frames;
    if (frame === undefined || until > next.frame) {
      blocks.push({ first: next.frame, until });
      next = { offset: frame?.offset ?? dataEnd, frame: until };
      return;
    }
    const first = next.frame;
    const end = Math.min(frames, first + frame.frames);
    next = { offset: frame.end, frame: end };
    const hashes = digest?.next === first;
    if (end <= wanted && !hashes) return;
    const size = frame.end - frame.offset;
    if (alone.length < size) alone = new Uint8Array(size);
    const decoded = decoder.decode(isolateFrame(finder.bytesOf(frame), frame, shape, alone));
    if (decoded === undefined || decoded.some(({ length }) => length !== frame.frames)) {
      blocks.push({ first, until: end });
      return;
    }
    blocks.push({ first, until: end, channels: decoded });
    const sum = hashes ? digest.add(decoded) : undefined;
    if (sum !== undefined) differs = sum !== layout.md5;
  }

  /**
   * The frame at the current position, or the next later one; repeated earlier frames are skipped.
   */
  function nextFrame(): WholeFrame | undefined {
    let frame = finder.frameAt(next.offset) ?? finder.firstFrom(next.offset + 1, dataEnd);
    while (frame !== undefined && !isAhead(frame)) frame = finder.firstFrom(frame.end, dataEnd);
    return frame;
  }

  function isAhead({ firstFrame, frames: count }: WholeFrame): boolean {
    return firstFrame >= next.frame && firstFrame + count <= frames;
  }

  /** Loads at most `pieceFrames` sample frames into `blocks`. */
  function hold(first: number, until: number): void {
    const from = blocks[0]?.first ?? next.frame;
    if (first < from || first > next.frame + fewBlocks * layout.blockFrames) {
      blocks = [];
      next = seek(finder, { dataOffset, dataEnd, frames }, first, layout.blockFrames);
    }
    while (blocks.length > 0 && blocks[0].until <= first) blocks.shift();
    while (next.frame < until) advance(first);
  }

  return {
    info,
    frames,
    get badSamples() {
      return badSamples;
    },
    get isAltered() {
      return differs;
    },
    read(firstFrame, count, channel, out) {
      if (
        !(Number.isSafeInteger(firstFrame) && firstFrame >= 0 && channel >= 0 && channel < channels)
      ) {
        throw new RangeError(`No frame ${firstFrame} or channel ${channel}`);
      }
      const total = Math.max(0, Math.min(count, frames - firstFrame));
      for (let done = 0; done < total; ) {
        const first = firstFrame + done;
        const until = Math.min(firstFrame + total, first + pieceFrames);
        hold(first, until);
        for (const block of blocks) {
          const from = Math.max(first, block.first);
          const to = Math.min(until, block.until);
          if (from >= to) continue;
          const at = from - firstFrame;
          if (block.channels === undefined) {
            out.fill(0, at, at + to - from);
            badSamples += to - from;
            continue;
          }
          const samples = block.channels[channel];
          const skip = from - block.first;
          for (let i = 0; i < to - from; i++) out[at + i] = samples[skip + i] * scale;
        }
        done += until - first;
      }
      return total;
    },
    close: () => source.close(),
  };
}

/** A position in the stream: the byte at which a frame begins, and the first sample frame in it. */
interface Place {
  readonly offset: number;
  readonly frame: number;
}

/**
 * Finds a position a few FLAC frames before a sample frame. Seek tables are not used: they are
 * often missing, and every frame carries its own position.
 */
function seek(
  finder: FrameFinder,
  { dataOffset, dataEnd, frames }: { dataOffset: number; dataEnd: number; frames: number },
  target: number,
  blockFrames: number,
): Place {
  let low: Place = { offset: dataOffset, frame: 0 };
  let high: Place = { offset: dataEnd, frame: frames };
  for (let leaps = 0; target - low.frame >= fewBlocks * blockFrames; leaps++) {
    const bytes = high.offset - low.offset;
    if (bytes < 2) break;
    // Two frames early, because frame sizes differ.
    const share = (target - 2 * blockFrames - low.frame) / (high.frame - low.frame);
    const leap = leaps < mostLeaps ? share : 0.5;
    const at = low.offset + Math.min(bytes - 1, Math.max(1, Math.floor(leap * bytes)));
    const found = finder.firstFrom(at, high.offset);
    if (found === undefined) high = { offset: at, frame: high.frame };
    else if (found.firstFrame > target) high = { offset: at, frame: found.firstFrame };
    else low = { offset: found.offset, frame: found.firstFrame };
  }
  return low;
}

/** Running MD5 of a stream's samples, if they are read in order from the first on. */
interface Digest {
  /** The next sample frame to add. */
  readonly next: number;
  /** @returns the sum, hexadecimal, when these were the last samples */
  add(channels: readonly Float32Array[]): string | undefined;
}

/** As in FLAC: integers of whole bytes, little-endian, channels interleaved. */
function digestOf(bits: number, channels: number, frames: number): Digest {
  const sampleBytes = Math.ceil(bits / 8);
  const hash: Hash = createHash("md5");
  let bytes = new Uint8Array(0);
  let next = 0;
  return {
    get next() {
      return next;
    },
    add(samples) {
      const count = samples[0].length;
      const size = count * channels * sampleBytes;
      if (bytes.length < size) bytes = new Uint8Array(size);
      for (let c = 0; c < channels; c++) {
        const own = samples[c];
        for (let i = 0, p = c * sampleBytes; i < count; i++, p += channels * sampleBytes) {
          const value = own[i];
          bytes[p] = value;
          if (sampleBytes > 1) bytes[p + 1] = value >> 8;
          if (sampleBytes > 2) bytes[p + 2] = value >> 16;
        }
      }
      hash.update(bytes.subarray(0, size));
      next += count;
      return next === frames ? hash.digest("hex") : undefined;
    },
  };
}
