import { formatRecordingKinds } from "../../../desk/recording-kinds.js";
import type { Doubt } from "../../../doubt.js";
import { DeskroundError } from "../../../errors.js";
import { checkRate, checkWord, maxChannels } from "../bounds.js";
import { type ChunkDialect, decodeLatin1 } from "../chunks/chunk-headers.js";
import { type Chunk, listChunks } from "../chunks/list-chunks.js";
import { type OpenFile, toDisplayName } from "../open-file.js";
import type { PcmInfo } from "../pcm-samples.js";
import {
  type Common,
  leastCommonBytes,
  mostCommonBytes,
  mostMarkBytes,
  readCommon,
  readMarks,
} from "./aiff-chunks.js";
import { getCompressionName, getSampleType, type SampleType } from "./sample-types.js";

const iff: ChunkDialect = {
  byteOrder: "big",
  knownIds: new Set(
    "COMM|SSND|FVER|MARK|COMT|INST|MIDI|AESD|APPL|NAME|AUTH|(c) |ANNO|SAXL|PEAK|CHAN|ID3 |id3 |FLLR|JUNK|basc|trns|cate|bext|chan|wave".split(
      "|",
    ),
  ),
  dataId: "SSND",
  // Where the first sample begins, and the size of blocks that samples may be aligned to.
  dataHeadBytes: 8,
};

/**
 * Reads the header of an AIFF or AIFF-C file.
 *
 * @throws DeskroundError `recording-damaged`, `recording-unsupported`
 * @example
 * let code;
 * try {
 *   inspectAiff(fileOf(new Uint8Array(12)));
 * } catch (error) {
 *   code = error.code;
 * }
 * // No chunk with samples.
 * [code]; // ["recording-damaged"]
 */
export function inspectAiff(source: OpenFile): PcmInfo {
  const { file } = source;
  const name = toDisplayName(file);
  const { chunks, leftover, doubts: chunkDoubts } = listChunks({ ...source, dialect: iff });
  const doubts = [...chunkDoubts];
  const [comm, ...moreComm] = chunks.filter(({ id }) => id === "COMM");
  const all = chunks.filter(({ id }) => id === "SSND");
  const [data, ...moreData] = all.filter(({ size }) => size > iff.dataHeadBytes);
  if (data === undefined) throw lacks(name, "sample data");
  if (comm === undefined) throw lacks(name, "format chunk");
  if (moreComm.length > 0 || moreData.length > 0) {
    doubts.push({ code: "several-recordings", file });
  }
  const common = commonOf(source, comm, name);
  const type = typeOf(common, name);
  const { channels, sampleRate } = common;
  const bits = type.bits ?? 8 * Math.ceil(common.bits / 8);
  const frameBytes = (channels * bits) / 8;

  const skipped = contents(source, data, 4);
  const skip = iff.dataHeadBytes + new DataView(skipped.buffer).getUint32(0);
  const bytes = data.size - skip;
  const there = Math.floor(bytes / frameBytes);
  if (there <= 0) {
    throw new DeskroundError("recording-damaged", `${name}: holds no samples.`, "Record it again.");
  }
  // The number of frames is 0 if the recorder could not close the file.
  const frames = common.frames > 0 ? Math.min(common.frames, there) : there;
  if (chunkDoubts.length === 0 && common.frames !== there) {
    doubts.push(...lengthDoubts(common, there, file));
  } else if (frames === there && bytes % frameBytes !== 0) {
    doubts.push({ code: "last-frame-incomplete", file });
  }
  if (leftover >= sampleRate * frameBytes) {
    doubts.push({ code: "unknown-bytes", file, bytes: leftover, sampleBytes: data.size });
  }
  const marks = chunks.find(({ id }) => id === "MARK");
  return {
    file,
    container: "AIFF",
    sampleFormat: type.sampleFormat,
    bits,
    channels,
    sampleRate,
    frames,
    dataOffset: data.offset + skip,
    layout: { byteOrder: type.byteOrder },
    cues: marks === undefined ? [] : readMarks(contents(source, marks, mostMarkBytes)),
    doubts,
  };
}

function commonOf(source: OpenFile, comm: Chunk, name: string): Common {
  const bytes = contents(source, comm, mostCommonBytes);
  if (bytes.length < leastCommonBytes) {
    throw damaged(
      `${name}: its format chunk has ${bytes.length} bytes; at least ${leastCommonBytes} are needed.`,
    );
  }
  const form = new Uint8Array(4);
  source.readInto(form, 8);
  const common = readCommon(bytes);
  const { channels, sampleRate, compression } = common;
  if (channels === 0) throw damaged(`${name}: its header says 0 channels.`);
  if (channels > maxChannels) {
    throw unsupported(`${name}: has ${channels} channels; up to ${maxChannels} are read.`);
  }
  if (!Number.isInteger(sampleRate)) {
    throw damaged(`${name}: its header gives no whole number as sample rate.`);
  }
  checkRate(sampleRate, name);
  if (decodeLatin1(form, 0, 4) === "AIFF") return { ...common, compression: "NONE" };
  if (compression === undefined) throw damaged(`${name}: its format chunk is cut short.`);
  return common;
}

function typeOf({ compression = "NONE", bits }: Common, name: string): SampleType {
  const type = getSampleType(compression);
  if (type === undefined) {
    const known = getCompressionName(compression);
    const shown = /^[\x20-\x7e]{4}$/.test(compression) ? ` ("${compression.trimEnd()}")` : "";
    throw unsupported(
      known === undefined
        ? `${name}: has samples of an unknown kind${shown}.`
        : `${name}: is compressed (${known}).`,
    );
  }
  if (type.bits === undefined && (bits < 1 || bits > 32)) {
    throw damaged(`${name}: has integer samples of ${bits} bits; there are 1 to 32.`);
  }
  checkWord({ sampleFormat: type.sampleFormat, bits: type.bits ?? bits }, name);
  return type;
}

function lengthDoubts({ frames }: Common, there: number, file: string): readonly Doubt[] {
  if (frames === 0) return [{ code: "frames-not-given", file, frames: there, upTo: "end" }];
  if (frames > there) {
    return [{ code: "frames-cut-short", file, promisedFrames: frames, frames: there }];
  }
  return [{ code: "more-frames", file, promisedFrames: frames, frames: there, read: "promised" }];
}

/** The first bytes of a chunk, at most `most`. */
function contents(source: OpenFile, { offset, size }: Chunk, most: number): Uint8Array {
  const bytes = new Uint8Array(Math.min(size, most));
  return bytes.subarray(0, source.readInto(bytes, offset));
}

function lacks(name: string, what: string): DeskroundError {
  const hint = "The recording was cut short, or it is not one: record or copy it again.";
  return new DeskroundError("recording-damaged", `${name}: holds no ${what}.`, hint);
}

function damaged(message: string): DeskroundError {
  const hint = "Record it again, or save it again as AIFF or WAV.";
  return new DeskroundError("recording-damaged", message, hint);
}

function unsupported(message: string): DeskroundError {
  const hint = `Record or save it as ${formatRecordingKinds()} without compression.`;
  return new DeskroundError("recording-unsupported", message, hint);
}
