import type { Doubt } from "../../../doubt.js";
import { DeskroundError } from "../../../errors.js";
import { toDisplayName } from "../open-file.js";
import {
  type ChunkedFile,
  type ChunkHeader,
  getNextChunkOffset,
  isChunkChain,
  isKnownChunk,
  readChunkHeader,
} from "./chunk-headers.js";
import { computeDataLength } from "./data-length.js";
import { readDs64 } from "./ds64-chunk.js";

/**
 * The chunks of a RIFF file and its 64-bit relatives (Multimedia Programming Interface and Data
 * Specifications 1.0, 1991; RF64: EBU Tech 3306; BW64: ITU-R BS.2088), and those of an IFF file
 * such as AIFF (EA IFF 85). Only the eight bytes at each chunk's head are read.
 */
export interface Chunk {
  readonly id: string;
  /** Byte where the contents begin. */
  readonly offset: number;
  /** Bytes of contents present in the file. */
  readonly size: number;
}

export interface ChunkList {
  /** In the order of the file. The first chunk with samples ends where they end. */
  readonly chunks: readonly Chunk[];
  /** Bytes at the end of the file that belong to no chunk. */
  readonly leftover: number;
  readonly doubts: readonly Doubt[];
}

/** More than any recorder writes; bounds the work on a damaged file. */
const mostChunks = 8192;

/**
 * Lists the chunks of a file.
 *
 * @throws DeskroundError `recording-damaged` when the chunk list breaks off before the samples
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(28);
 * bytes.set([100, 97, 116, 97, 8], 12);
 * listChunks({ ...fileOf(bytes), dialect }).chunks; // [{ id: "data", offset: 20, size: 8 }]
 */
export function listChunks(source: ChunkedFile): ChunkList {
  const { dataId, dataHeadBytes } = source.dialect;
  const chunks: Chunk[] = [];
  const doubts: Doubt[] = [];
  const sizes = new Map<string, number>();
  let hasSamples = false;
  let at = 12;
  /** End of the last known chunk: unknown ones after it may be stray bytes. */
  let known = at;
  for (
    let head = readChunkHeader(source, at);
    head !== undefined;
    head = readChunkHeader(source, at)
  ) {
    const offset = at + 8;
    const there = source.size - offset;
    if (chunks.length >= mostChunks) {
      if (hasSamples) break;
      throw lost(source, at);
    }
    if (head.id === dataId && !hasSamples) {
      const { size, doubt } = computeDataLength(source, offset, head.size, sizes.get(dataId));
      chunks.push({ id: head.id, offset, size });
      if (doubt !== undefined) doubts.push(doubt);
      hasSamples = size > dataHeadBytes;
      at = doubt === undefined ? getNextChunkOffset(source, offset + size, size) : source.size;
      known = at;
      continue;
    }
    const size = sizeOf(head, sizes);
    if (size > there) {
      if (!hasSamples)
        throw head.isPlain ? cutShort(source, head.id, size, there) : lost(source, at);
      if (!isKnownChunk(source, head)) break;
      doubts.push({ code: "chunk-cut-short", file: source.file, chunk: head.id });
      at = source.size;
      break;
    }
    const next = getNextChunkOffset(source, offset + size, size);
    if (!head.isPlain && !(next < source.size && isChunkChain(source, next))) {
      if (hasSamples) break;
      throw lost(source, at);
    }
    if (head.id === "ds64") readDs64(source, offset, size, sizes);
    chunks.push({ id: head.id, offset, size });
    at = next;
    if (isKnownChunk(source, head)) known = at;
  }
  // Fewer bytes than a header are padding.
  const endsWell = at + 8 > source.size;
  return { chunks, leftover: endsWell ? 0 : source.size - known, doubts };
}

/** The size in a chunk's header or, if that is all ones, in the table of `ds64`. */
function sizeOf({ id, size }: ChunkHeader, sizes: ReadonlyMap<string, number>): number {
  return size === 0xffff_ffff ? (sizes.get(id) ?? size) : size;
}

function cutShort(source: ChunkedFile, id: string, size: number, there: number): DeskroundError {
  return new DeskroundError(
    "recording-damaged",
    `${toDisplayName(source.file)}: the header promises ${size} bytes in its chunk "${id}", but the file holds only ${there}.`,
    "The recording or its copy was cut short. Copy it again, or record these paths again.",
  );
}

/** Error for bytes that are not a list of chunks, as opposed to a file cut short. */
function lost(source: ChunkedFile, at: number): DeskroundError {
  return new DeskroundError(
    "recording-damaged",
    `${toDisplayName(source.file)}: its list of chunks cannot be followed at byte ${at}, before its samples.`,
    "The header is damaged there: copy the recording again, or save it again as WAV.",
  );
}
