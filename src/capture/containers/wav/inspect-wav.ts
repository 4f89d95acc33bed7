import { DeskroundError } from "../../../errors.js";
import type { RecordingInfo } from "../../types.js";
import { type ChunkDialect, decodeLatin1 } from "../chunks/chunk-headers.js";
import { type Chunk, listChunks } from "../chunks/list-chunks.js";
import { type OpenFile, toDisplayName } from "../open-file.js";
import { maxFormatBytes, readFormat } from "./fmt-chunk.js";
import {
  maxBextBytes,
  maxCueBytes,
  maxLabelBytes,
  readBext,
  readCues,
  readLabels,
} from "./metadata-chunks.js";

/** How the chunks of a WAV file and its relatives are written. */
export const riff: ChunkDialect = {
  byteOrder: "little",
  knownIds: new Set(
    "fmt |data|bext|cue |LIST|fact|JUNK|junk|PAD |FLLR|ds64|iXML|smpl|inst|plst|id3 |ID3 |axml|chna|PEAK|cart|umid|_PMX|mext|levl|link|DISP".split(
      "|",
    ),
  ),
  dataId: "data",
  dataHeadBytes: 0,
};

/**
 * Reads the header of a WAV file.
 *
 * @throws DeskroundError `recording-damaged`, `recording-unsupported`
 * @example
 * const bytes = Buffer.alloc(52);
 * bytes.write("RIFF", 0);
 * bytes.writeUInt32LE(44, 4);
 * bytes.write("WAVEfmt ", 8);
 * bytes.set([16, 0, 0, 0, 1, 0, 1, 0, 0x80, 0xbb, 0, 0, 0, 0x77, 1, 0, 2, 0, 16, 0], 16);
 * bytes.write("data", 36);
 * bytes.writeUInt32LE(8, 40);
 * const info = inspectWav(fileOf(bytes));
 * info.frames; // 4
 * info.sampleRate; // 48000
 */
export function inspectWav(source: OpenFile): RecordingInfo {
  const { file } = source;
  const name = toDisplayName(file);
  const head = new Uint8Array(4);
  source.readInto(head, 0);
  if (decodeLatin1(head, 0, 4) === "RIFX") {
    const hint = "Save it as an ordinary (little-endian) WAV file.";
    const message = `${name}: is a big-endian WAV file (RIFX).`;
    throw new DeskroundError("recording-unsupported", message, hint);
  }
  const { chunks, leftover, doubts: chunkDoubts } = listChunks({ ...source, dialect: riff });
  const doubts = [...chunkDoubts];
  const [fmt, ...moreFmt] = chunks.filter(({ id }) => id === "fmt ");
  const all = chunks.filter(({ id }) => id === "data");
  const [data = all[0], ...moreData] = all.filter(({ size }) => size > 0);
  if (data === undefined) throw lacks(name, "sample data");
  if (fmt === undefined) throw lacks(name, "format chunk");
  if (moreFmt.length > 0 || moreData.length > 0) {
    doubts.push({ code: "several-recordings", file });
  }
  if (data !== all[0]) {
    doubts.push({ code: "first-samples-empty", file, atByte: data.offset });
  }
  const format = readFormat(contents(source, fmt, maxFormatBytes), file);
  const frames = Math.floor(data.size / format.frameBytes);
  if (frames === 0) {
    throw new DeskroundError("recording-damaged", `${name}: holds no samples.`, "Record it again.");
  }
  if (data.size % format.frameBytes !== 0) {
    doubts.push({ code: "last-frame-incomplete", file });
  }
  if (leftover >= format.sampleRate * format.frameBytes) {
    doubts.push({ code: "unknown-bytes", file, bytes: leftover, sampleBytes: data.size });
  }
  const bext = chunks.find(({ id }) => id === "bext");
  return {
    file,
    container: "WAV",
    sampleFormat: format.sampleFormat,
    bits: format.bits,
    channels: format.channels,
    sampleRate: format.sampleRate,
    frames,
    dataOffset: data.offset,
    ...(bext === undefined ? {} : { bext: readBext(contents(source, bext, maxBextBytes)) }),
    cues: readCuePoints(source, chunks),
    doubts,
  };
}

/**
 * Cue points of a list of RIFF chunks, with their labels.
 *
 * @example
 * const bytes = new Uint8Array(28);
 * const view = new DataView(bytes.buffer);
 * view.setUint32(0, 1, true);
 * view.setUint32(24, 480, true);
 * const chunks = [{ id: "cue ", offset: 0, size: 28 }];
 * readCuePoints(fileOf(bytes), chunks); // [{ position: 480, label: "" }]
 */
export function readCuePoints(source: OpenFile, chunks: readonly Chunk[]): RecordingInfo["cues"] {
  const cue = chunks.find(({ id }) => id === "cue ");
  if (cue === undefined) return [];
  let room = maxLabelBytes;
  const labels = new Map<number, string>();
  for (const list of chunks) {
    if (list.id !== "LIST" || room <= 0) continue;
    const form = contents(source, list, 4);
    if (String.fromCharCode(...form) !== "adtl") continue;
    const bytes = contents(source, list, room);
    for (const [id, label] of readLabels(bytes)) labels.set(id, label);
    room -= bytes.length;
  }
  return readCues(contents(source, cue, maxCueBytes), labels);
}

/** The first bytes of a chunk, at most `most`. */
function contents(source: OpenFile, { offset, size }: Chunk, most: number): Uint8Array {
  const bytes = new Uint8Array(Math.min(size, most));
  return bytes.subarray(0, source.readInto(bytes, offset));
}

function lacks(name: string, what: string): DeskroundError {
  const hint =
    "The recording was cut short, or the file is not a recording: record or copy it again.";
  return new DeskroundError("recording-damaged", `${name}: holds no ${what}.`, hint);
}
