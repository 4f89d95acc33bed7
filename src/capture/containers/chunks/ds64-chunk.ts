import type { OpenFile } from "../open-file.js";
import { decodeLatin1 } from "./chunk-headers.js";

/** Entries of the ds64 table that are read; it names the few chunks beyond 4 GiB. */
const mostLargeChunks = 64;

/**
 * Adds the chunk sizes that do not fit 32 bits: EBU Tech 3306, chunk `ds64`.
 *
 * @example
 * const bytes = new Uint8Array(28);
 * new DataView(bytes.buffer).setBigUint64(8, 5_000_000_000n, true);
 * const sizes = new Map();
 * readDs64(fileOf(bytes), 0, 28, sizes);
 * sizes.get("data"); // 5000000000
 */
export function readDs64(
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
    sizes.set(decodeLatin1(bytes, p, p + 4), Number(view.getBigUint64(p + 4, true)));
  }
}
