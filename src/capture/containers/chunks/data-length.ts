import type { Doubt } from "../../../doubt.js";
import { type ChunkedFile, isChunkChain } from "./chunk-headers.js";

/** Bytes of samples actually present. */
export interface DataLength {
  readonly size: number;
  /** Set if the header does not say where they end: they are taken up to the end of the file. */
  readonly doubt?: Doubt;
}

const unset32 = 0xffff_ffff;
/** Larger sizes are invalid: a 64-bit field of all ones reads as more. */
const mostBytes = 2 ** 53;
/** Writers that cannot seek back put the largest size there, less some header. */
const placeholderSlack = 4096;
const placeholders = [2 ** 31, 2 ** 32];

/**
 * Length of the samples, from the size in the chunk header, the one in `ds64` and the file.
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
  // All ones in the header refer to ds64; some writers leave 0 there, or the initial size.
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
 * Whether a recorder left the length open, because it crashed or could not seek back. A size of 0
 * may also be an empty recording; then chunks follow, or nothing.
 */
function isOpen(source: ChunkedFile, offset: number, size: number): boolean {
  if (size <= source.dialect.dataHeadBytes) return !isChunkChain(source, offset + size);
  if (size === unset32 || size > mostBytes) return true;
  return isPlaceholder(size) && size > source.size - offset;
}

function isPlaceholder(size: number): boolean {
  return placeholders.some((most) => size <= most && size >= most - placeholderSlack);
}
