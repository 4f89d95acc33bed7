import type { Doubt } from "../../../doubt.js";
import { type ChunkedFile, isChunkChain } from "./chunk-headers.js";

/** How many bytes of samples there are, whatever the header says. */
export interface DataLength {
  readonly size: number;
  /** Set if the header does not say where they end: they are taken up to the end of the file. */
  readonly doubt?: Doubt;
}

const unset32 = 0xffff_ffff;
/** Sizes that cannot be meant: a 64-bit field left at all ones reads as more. */
const mostBytes = 2 ** 53;
/** Writers that cannot seek back put the largest size there, less some header. */
const placeholderSlack = 4096;
const placeholders = [2 ** 31, 2 ** 32];

/**
 * How long the samples are, by the size in their chunk's head, the one in `ds64` and the file.
 *
 * @param offset where they begin
 * @param size32 in the head of the chunk
 * @param size64 from `ds64`, if there is one
 * @example
 * const dialect = { byteOrder: "little", knownIds: new Set(["data"]), dataId: "data", dataHeadBytes: 0 };
 * const bytes = new Uint8Array(16);
 * bytes.set([100, 97, 116, 97, 8]);
 * const source = { ...fileOf(bytes), dialect };
 *
 * computeDataLength(source, 8, 8, undefined); // { size: 8 }
 * // All ones: the writer never came back to say it.
 * computeDataLength(source, 8, 0xffff_ffff, undefined).doubt.code; // "length-not-given"
 */
export function computeDataLength(
  source: ChunkedFile,
  offset: number,
  size32: number,
  size64: number | undefined,
): DataLength {
  const there = source.size - offset;
  // The head refers to ds64 by all ones; some writers leave 0 there, or what they began with.
  const fits64 = size64 !== undefined && size64 > 0 && size64 <= there;
  if (fits64 && (size32 === 0 || size32 > there || isPlaceholder(size32))) return { size: size64 };
  const size = size32 === unset32 && size64 !== undefined ? size64 : size32;
  if (there > source.dialect.dataHeadBytes && isOpen(source, offset, size)) {
    return { size: there, doubt: { code: "length-not-given", file: source.file, bytes: there } };
  }
  if (size <= there) return { size };
  const { file } = source;
  return {
    size: there,
    doubt: { code: "samples-cut-short", file, promisedBytes: size, bytes: there },
  };
}

/**
 * Whether a recorder left the length of its samples open: it crashed, or wrote to where it could
 * not go back. A size of nothing is also what a recording of nothing has; then chunks follow, or none.
 */
function isOpen(source: ChunkedFile, offset: number, size: number): boolean {
  if (size <= source.dialect.dataHeadBytes) return !isChunkChain(source, offset + size);
  if (size === unset32 || size > mostBytes) return true;
  return isPlaceholder(size) && size > source.size - offset;
}

function isPlaceholder(size: number): boolean {
  return placeholders.some((most) => size <= most && size >= most - placeholderSlack);
}
