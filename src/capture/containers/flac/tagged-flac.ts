import type { OpenFile } from "../open-file.js";

/**
 * Whether a file is FLAC after an ID3v2 tag. By RFC 9639, `fLaC` must be the first four bytes, but
 * some programs write the tag before it.
 *
 * @param head its first bytes: 10 of a tag at least. Its length has 7 bits per byte, and excludes
 * the header and a footer of 10 bytes, present if bit 4 of the flags is set (ID3v2.4.0, section 3).
 * @example
 * isTaggedFlac(fileOf(new Uint8Array(20)), new Uint8Array(12)); // false
 */
export function isTaggedFlac(source: OpenFile, head: Uint8Array): boolean {
  const latin1 = (bytes: Uint8Array) => Buffer.from(bytes).toString("latin1");
  if (head.length < 10 || latin1(head.subarray(0, 3)) !== "ID3") return false;
  const size = head.subarray(6, 10).reduce((sum, byte) => 128 * sum + (byte & 127), 0);
  const foot = (head[5] & 0x10) === 0 ? 0 : 10;
  const mark = new Uint8Array(4);
  source.readInto(mark, 10 + size + foot);
  return latin1(mark) === "fLaC";
}
