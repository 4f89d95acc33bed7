import type { OpenFile } from "../open-file.js";

/** How the chunks of a family of files are written: each with a name of four letters and its size. */
export interface ChunkDialect {
  readonly byteOrder: "big" | "little";
  /** Names that recorders write. */
  readonly knownIds: ReadonlySet<string>;
  /** Name of the chunk of samples. */
  readonly dataId: string;
  /** Bytes at its beginning that are not samples. */
  readonly dataHeadBytes: number;
}

/** A file of chunks. */
export interface ChunkedFile extends OpenFile {
  readonly dialect: ChunkDialect;
}

/** The eight bytes at a chunk's head. */
export interface ChunkHeader {
  readonly id: string;
  readonly size: number;
  /** Whether the name is made of the characters that the specification allows. */
  readonly isPlain: boolean;
}

/**
 * Reads the bytes at an offset as a chunk header; undefined if the file ends before.
 *
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(16);
 * bytes.set([100, 97, 116, 97, 8]);
 * const source = { ...fileOf(bytes), dialect };
 *
 * readChunkHeader(source, 0); // { id: "data", size: 8, isPlain: true }
 * readChunkHeader(source, 12); // undefined
 */
export function readChunkHeader(source: ChunkedFile, at: number): ChunkHeader | undefined {
  if (at < 0 || at + 8 > source.size) return undefined;
  const bytes = new Uint8Array(8);
  if (source.readInto(bytes, at) < 8) return undefined;
  const id = decodeLatin1(bytes, 0, 4);
  const size = new DataView(bytes.buffer).getUint32(4, source.dialect.byteOrder === "little");
  return { id, size, isPlain: /^[\x20-\x7e]{4}$/.test(id) };
}

/**
 * Whether a chunk's name is one that recorders write: bytes that are no head hardly ever are.
 *
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(16);
 * bytes.set([100, 97, 116, 97, 8]);
 * const source = { ...fileOf(bytes), dialect };
 *
 * isKnownChunk(source, { id: "data" }); // true
 * isKnownChunk(source, { id: "abcd" }); // false
 */
export function isKnownChunk({ dialect }: ChunkedFile, { id }: ChunkHeader): boolean {
  return dialect.knownIds.has(id);
}

/** Headers followed ahead: more unknown chunks in a row do not occur. */
const mostAhead = 32;
/** Limit of headers read, however often missing pad bytes make the search branch. */
const mostTried = 256;

/**
 * Whether consecutive headers from an offset lead to a known chunk, or to the end of the file. On
 * the way to the end, only plain names count.
 *
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(16);
 * bytes.set([100, 97, 116, 97, 8]);
 * const source = { ...fileOf(bytes), dialect };
 *
 * isChunkChain(source, 0); // true
 * // Zeros are no name.
 * isChunkChain(source, 5); // false
 */
export function isChunkChain(source: ChunkedFile, at: number): boolean {
  let tried = 0;
  const leads = (from: number, ahead: number, plain: boolean): boolean => {
    if (from === source.size) return plain;
    if (ahead === 0 || tried++ >= mostTried) return false;
    const head = readChunkHeader(source, from);
    if (head === undefined) return false;
    if (isKnownChunk(source, head)) return true;
    const end = from + 8 + head.size;
    if (end > source.size) return false;
    const bothPlain = plain && head.isPlain;
    if (head.size % 2 === 1 && leads(end + 1, ahead - 1, bothPlain)) return true;
    return leads(end, ahead - 1, bothPlain);
  };
  return leads(at, mostAhead, true);
}

/**
 * Where the next chunk begins. Chunks of odd size are followed by a pad byte, which some writers
 * leave out; a known name decides, then a chain of headers, then the standard.
 *
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(16);
 * bytes.set([100, 97, 116, 97, 8]);
 * const source = { ...fileOf(bytes), dialect };
 *
 * getNextChunkOffset(source, 16, 8); // 16
 * // Behind an odd size stands a byte that pads it.
 * getNextChunkOffset(source, 15, 7); // 16
 */
export function getNextChunkOffset(source: ChunkedFile, end: number, size: number): number {
  if (size % 2 === 0) return end;
  const padded = readChunkHeader(source, end + 1);
  const unpadded = readChunkHeader(source, end);
  if (padded !== undefined && isKnownChunk(source, padded)) return end + 1;
  if (unpadded !== undefined && isKnownChunk(source, unpadded)) return end;
  return !isChunkChain(source, end + 1) && isChunkChain(source, end) ? end : end + 1;
}

/**
 * Bytes as Latin-1: one character each.
 *
 * @example
 * decodeLatin1(Uint8Array.of(82, 73, 70, 70), 0, 4); // "RIFF"
 */
export function decodeLatin1(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}
