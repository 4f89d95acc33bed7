import type { Doubt } from "../../../doubt.js";
import { DeskroundError } from "../../../errors.js";
import type { RecordingInfo } from "../../types.js";
import { checkRate, checkWord } from "../bounds.js";
import { type OpenFile, toDisplayName } from "../open-file.js";
import {
  createFrameFinder,
  type FrameFinder,
  mostFrameBytes,
  type WholeFrame,
} from "./find-frames.js";
import { mostDecodableBytes } from "./flac-decoder.js";
import {
  blockType,
  listBlocks,
  readStreamInfo,
  type StreamInfo,
  streamInfoBytes,
} from "./flac-metadata.js";
import { readTags } from "./flac-tags.js";
import type { FrameShape } from "./frame-header.js";

/** How a FLAC stream is laid out in its file. */
export interface FlacLayout {
  /** Byte after the last frame. */
  readonly dataEnd: number;
  /** Sample frames in every FLAC frame except the last, for a stream of fixed block size. */
  readonly blockFrames: number;
  /** Sample frames in the longest FLAC frame. */
  readonly mostFrames: number;
  /** MD5 of all samples, if the file has it and is complete. */
  readonly md5?: string;
}

/** What is known about a FLAC file before its samples are opened. */
export interface FlacInfo extends RecordingInfo {
  readonly layout: FlacLayout;
}

/**
 * Word lengths that a frame header can give (RFC 9639, section 9.1.4) and that decode exactly. A
 * stream may have 4 to 32 bits.
 */
const depths = [16, 20, 24];
/** Shortest frame except the last, sample frames; RFC 9639, section 8.2. */
const leastBlock = 16;
/**
 * A tag of this length at the very end, which begins with `TAG`, is not part of the stream (ID3v1).
 */
const tagBytes = 128;

/**
 * Reads the header of a FLAC file, and finds the last frame present at its end.
 *
 * @throws DeskroundError `recording-damaged`, `recording-unsupported`
 * @example
 * const source = openFile(recording);
 * inspectFlac(source).bits; // 16
 * source.close();
 */
export function inspectFlac(source: OpenFile): FlacInfo {
  const { file } = source;
  const name = toDisplayName(file);
  const { blocks, end: dataOffset, lost } = listBlocks(source);
  const head = blocks[0];
  if (head?.type !== blockType.streamInfo || head.size < streamInfoBytes) {
    throw damaged(`${name}: its first block is not the one that says what is in the file.`);
  }
  if (lost) {
    throw damaged(`${name}: its list of metadata blocks cannot be followed at byte ${dataOffset}.`);
  }
  const stream = readStreamInfo(contents(source, head.offset, streamInfoBytes));
  checkStream(stream, name);

  const end = source.size - (hasTag(source) ? tagBytes : 0);
  const { channels, bits, sampleRate, mostFrames } = stream;
  const whole: FrameShape = { channels, bits, sampleRate, mostFrames, blockFrames: mostFrames };
  const finder = createFrameFinder(source, whole, end);
  const isSteady = stream.leastFrames === mostFrames;
  const blockFrames = isSteady ? mostFrames : (finder.headerAt(dataOffset)?.frames ?? mostFrames);
  const shape = { ...whole, blockFrames };
  const own = isSteady ? finder : createFrameFinder(source, shape, end);
  const last = lastFrame(own, shape, dataOffset, end);
  if (last === undefined) {
    const hint = "The recording was cut short, or its copy is damaged: copy or record it again.";
    throw new DeskroundError(
      "recording-damaged",
      `${name}: holds no frame of samples that is whole.`,
      hint,
    );
  }
  const frames = last.firstFrame + last.frames;
  const isWhole = frames === stream.frames;
  return {
    file,
    container: "FLAC",
    sampleFormat: "int",
    bits,
    channels,
    sampleRate,
    isCompressed: true,
    frames,
    dataOffset,
    layout: {
      dataEnd: last.end,
      blockFrames,
      mostFrames,
      ...(isWhole && stream.md5 !== undefined ? { md5: stream.md5 } : {}),
    },
    ...readTags(source, blocks),
    doubts: doubtsOf(file, stream, last, end),
  };
}

function checkStream(stream: StreamInfo, name: string): void {
  const { bits, sampleRate, mostFrames, leastFrames, mostBytes } = stream;
  if (mostFrames < leastBlock || leastFrames > mostFrames) {
    throw damaged(
      `${name}: its header contradicts itself: frames of ${leastFrames} to ${mostFrames} samples.`,
    );
  }
  checkWord({ sampleFormat: "int", bits }, name, depths);
  checkRate(sampleRate, name);
  if (mostBytes > mostDecodableBytes) {
    throw unsupported(
      `${name}: has frames of ${mostBytes} bytes; up to ${mostDecodableBytes} are read.`,
    );
  }
}

/**
 * The last complete frame of a stream, searching backwards from the end. Bytes after it are an
 * incomplete frame or something else.
 */
function lastFrame(
  finder: FrameFinder,
  shape: FrameShape,
  dataOffset: number,
  end: number,
): WholeFrame | undefined {
  let until = end;
  for (let reach = 4 * mostFrameBytes(shape); ; reach *= 4) {
    const from = Math.max(dataOffset, end - reach);
    let last: WholeFrame | undefined;
    let at = from;
    while (at < until) {
      const found = finder.frameAt(at) ?? finder.firstFrom(at, until);
      if (found === undefined) break;
      if (last === undefined || found.firstFrame >= last.firstFrame + last.frames) last = found;
      at = found.end;
    }
    if (last !== undefined || from === dataOffset) return last;
    until = from;
  }
}

function doubtsOf(
  file: string,
  { frames, sampleRate }: StreamInfo,
  last: WholeFrame,
  end: number,
): readonly Doubt[] {
  const there = last.firstFrame + last.frames;
  if (frames === 0) return [{ code: "frames-not-given", file, frames: there, upTo: "last-whole" }];
  if (there < frames) {
    return [{ code: "frames-cut-short", file, promisedFrames: frames, frames: there }];
  }
  if (there > frames) {
    return [{ code: "more-frames", file, promisedFrames: frames, frames: there, read: "all" }];
  }
  const leftover = end - last.end;
  const bytesPerS = (last.end / there) * sampleRate;
  return leftover < bytesPerS ? [] : [{ code: "unknown-bytes", file, bytes: leftover }];
}

function contents(source: OpenFile, offset: number, size: number): Uint8Array {
  const bytes = new Uint8Array(size);
  return bytes.subarray(0, source.readInto(bytes, offset));
}

function hasTag(source: OpenFile): boolean {
  if (source.size < tagBytes) return false;
  return Buffer.from(contents(source, source.size - tagBytes, 3)).toString("latin1") === "TAG";
}

function damaged(message: string): DeskroundError {
  const hint = "The header is damaged: copy the recording again, or save it again as FLAC or WAV.";
  return new DeskroundError("recording-damaged", message, hint);
}

function unsupported(message: string): DeskroundError {
  const hint = "Save it as FLAC of 16 or 24 bits, or as WAV.";
  return new DeskroundError("recording-unsupported", message, hint);
}
