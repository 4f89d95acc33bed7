import { DeskroundError } from "../errors.js";
import { type OpenFile, shownName } from "./open.js";

/**
 * The chunks of a RIFF file and its 64-bit kin (Multimedia Programming Interface and Data
 * Specifications 1.0, 1991; RF64: EBU Tech 3306; BW64: ITU-R BS.2088). Only the eight bytes at
 * each chunk's head are read.
 */
export interface Chunk {
  readonly id: string;
  /** Byte where the contents begin. */
  readonly offset: number;
  /** Bytes of contents that are there. */
  readonly size: number;
}

export interface ChunkList {
  /** In the order of the file. The first `data` chunk ends where its samples end. */
  readonly chunks: readonly Chunk[];
  /** Bytes after the last chunk that belong to none. */
  readonly leftover: number;
  readonly warnings: readonly string[];
}

/** More than any recorder writes; a damaged file must not keep us walking. */
const mostChunks = 4096;
/** Entries of the ds64 table that are looked at; it names the few chunks beyond 4 GiB. */
const mostLargeChunks = 64;
const unset32 = 0xffff_ffff;
/** Sizes that cannot be meant: a 64-bit field left at all ones reads as more. */
const mostBytes = 2 ** 53;

/**
 * Lists the chunks of a WAV file.
 *
 * @throws DeskroundError `not-wav`, or `wav-damaged` when a size does not fit the file
 */
export function listChunks(source: OpenFile): ChunkList {
  const wide = readContainer(source);
  const chunks: Chunk[] = [];
  const warnings: string[] = [];
  const sizes = new Map<string, number>();
  let at = 12;
  while (chunks.length < mostChunks) {
    const head = readHead(source, at);
    if (head === undefined) break;
    const offset = at + 8;
    const there = source.size - offset;
    const size = wide && head.size === unset32 ? sizes.get(head.id) : head.size;
    if (head.id === "data" && isOpen(source, offset, size)) {
      warnings.push(
        `${shownName(source.file)}: the recording was not closed properly, its header gives no length; all ${there} bytes after the header are taken as samples.`,
      );
      chunks.push({ id: head.id, offset, size: there });
      at = source.size;
      break;
    }
    if (size === undefined || size > there) {
      if (chunks.some(({ id }) => id === "data")) {
        warnings.push(
          `${shownName(source.file)}: the chunk "${head.id}" after the samples is cut short and was not read.`,
        );
        at = source.size;
        break;
      }
      if (head.id !== "data" || size === undefined) {
        throw cutShort(source, head.id, size ?? unset32, there);
      }
      warnings.push(
        `${shownName(source.file)}: the header promises ${size} bytes of samples, but the file holds only ${there}: the recording or its copy was cut short. What is there was read.`,
      );
      chunks.push({ id: head.id, offset, size: there });
      at = source.size;
      break;
    }
    if (wide && head.id === "ds64") readLargeSizes(source, offset, size, sizes);
    chunks.push({ id: head.id, offset, size });
    at = nextChunk(source, offset + size, size);
  }
  return { chunks, leftover: Math.max(0, source.size - at), warnings };
}

/** Checks the first twelve bytes; tells whether sizes may stand in a `ds64` chunk. */
function readContainer(source: OpenFile): boolean {
  const name = shownName(source.file);
  if (source.size === 0) {
    throw new DeskroundError("not-wav", `${name}: the file is empty.`, "Record or copy it again.");
  }
  const bytes = new Uint8Array(Math.min(12, source.size));
  source.readInto(bytes, 0);
  const container = latin(bytes, 0, 4);
  if (bytes.length === 12 && latin(bytes, 8, 12) === "WAVE") {
    if (container === "RIFF") return false;
    if (container === "RF64" || container === "BW64") return true;
    if (container === "RIFX") {
      const hint = "Save it as an ordinary (little-endian) WAV file.";
      throw new DeskroundError(
        "wav-unsupported",
        `${name}: is a big-endian WAV file (RIFX).`,
        hint,
      );
    }
  }
  const hint = "Save the recording as WAV: PCM of 16, 24 or 32 bits, or float.";
  throw new DeskroundError(
    "not-wav",
    `${name}: begins with ${beginning(bytes)}, which is not a WAV file.`,
    hint,
  );
}

/** The first bytes of a file as people can read them. */
function beginning(bytes: Uint8Array): string {
  const printable =
    latin(bytes, 0, 4)
      .match(/^[\x20-\x7e]+/)?.[0]
      .trimEnd() ?? "";
  if (printable === "RIFF" && bytes.length === 12) {
    const form = latin(bytes, 8, 12);
    if (/^[\x20-\x7e]{4}$/.test(form)) return `RIFF and ${form.trimEnd()}`;
  }
  if (printable.length >= 2) return `\`${printable}\``;
  const hex = Array.from(bytes.subarray(0, 4), (b) => b.toString(16).padStart(2, "0"));
  return `the bytes ${hex.join(" ")}`;
}

interface Head {
  readonly id: string;
  readonly size: number;
}

/** The head of a chunk, unless what stands there cannot be one. */
function readHead(source: OpenFile, at: number): Head | undefined {
  if (at < 0 || at + 8 > source.size) return undefined;
  const bytes = new Uint8Array(8);
  if (source.readInto(bytes, at) < 8) return undefined;
  const id = latin(bytes, 0, 4);
  if (!/^[\x20-\x7e]{4}$/.test(id)) return undefined;
  return { id, size: new DataView(bytes.buffer).getUint32(4, true) };
}

/**
 * Whether a recorder left the length of its samples open: it crashed, or wrote to where it could
 * not go back. A size of 0 is also what a recording of nothing has; then chunks follow, or nothing.
 */
function isOpen(source: OpenFile, offset: number, size: number | undefined): boolean {
  if (source.size <= offset) return false;
  if (size === undefined || size === unset32 || size > mostBytes) return true;
  return size === 0 && !chunksUpToTheEnd(source, offset);
}

function chunksUpToTheEnd(source: OpenFile, from: number): boolean {
  let at = from;
  for (let n = 0; n < mostChunks && at < source.size; n++) {
    const head = readHead(source, at);
    if (head === undefined || at + 8 + head.size > source.size) return false;
    at = nextChunk(source, at + 8 + head.size, head.size);
  }
  return at >= source.size;
}

/** The chunk sizes that do not fit 32 bits: EBU Tech 3306, chunk `ds64`. */
function readLargeSizes(
  source: OpenFile,
  offset: number,
  size: number,
  sizes: Map<string, number>,
): void {
  const bytes = new Uint8Array(Math.min(size, 28 + 12 * mostLargeChunks));
  source.readInto(bytes, offset);
  const view = new DataView(bytes.buffer);
  if (bytes.length < 16) return;
  sizes.set("data", Number(view.getBigUint64(8, true)));
  if (bytes.length < 28) return;
  const entries = Math.min(view.getUint32(24, true), mostLargeChunks);
  for (let k = 0, p = 28; k < entries && p + 12 <= bytes.length; k++, p += 12) {
    sizes.set(latin(bytes, p, p + 4), Number(view.getBigUint64(p + 4, true)));
  }
}

const knownIds = new Set(
  "fmt |data|bext|cue |LIST|fact|JUNK|junk|PAD |FLLR|ds64|iXML|smpl|inst|plst|id3 |ID3 |axml|chna|PEAK|cart|umid|_PMX|mext|levl|link|DISP".split(
    "|",
  ),
);

/**
 * Where the next chunk begins. Chunks of odd size are followed by a pad byte, which some writers
 * leave out; a known name decides, then any name whose size fits, then the standard.
 */
function nextChunk(source: OpenFile, end: number, size: number): number {
  if (size % 2 === 0) return end;
  const padded = readHead(source, end + 1);
  const unpadded = readHead(source, end);
  if (padded !== undefined && knownIds.has(padded.id)) return end + 1;
  if (unpadded !== undefined && knownIds.has(unpadded.id)) return end;
  if (padded !== undefined && end + 9 + padded.size <= source.size) return end + 1;
  if (unpadded !== undefined && end + 8 + unpadded.size <= source.size) return end;
  return end + 1;
}

function cutShort(source: OpenFile, id: string, size: number, there: number): DeskroundError {
  return new DeskroundError(
    "wav-damaged",
    `${shownName(source.file)}: the header promises ${size} bytes in its chunk "${id}", but the file holds only ${there}.`,
    "The recording or its copy was cut short. Copy it again, or record these paths again.",
  );
}

function latin(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}
