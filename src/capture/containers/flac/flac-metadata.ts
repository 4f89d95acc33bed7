import type { OpenFile } from "../open-file.js";
import { sanitizeText } from "../plain-text.js";

/**
 * The metadata blocks at the head of a FLAC file: RFC 9639, section 8. Counts and lengths found in
 * the file are bounds, never sizes to allocate.
 */
export interface MetadataBlock {
  readonly type: number;
  /** Byte where the contents begin. */
  readonly offset: number;
  /** Bytes of contents. */
  readonly size: number;
}

/** Block types that are read; RFC 9639, table 1. */
export const blockType = { streamInfo: 0, application: 2, comments: 4, invalid: 127 } as const;

/** More than any encoder writes; bounds the work on a damaged file. */
const mostBlocks = 8192;

/** The blocks of a file, and the byte where its frames begin. */
export interface BlockList {
  readonly blocks: readonly MetadataBlock[];
  readonly end: number;
}

/**
 * Lists the metadata blocks; only their headers are read.
 *
 * @returns the blocks as far as they can be followed; if `lost`, `end` is the byte where that fails
 * @example
 * const source = openFile(recording);
 * listBlocks(source).blocks[0]; // { type: 0, offset: 8, size: 34 }
 * source.close();
 */
export function listBlocks(source: OpenFile): BlockList & { readonly lost?: true } {
  const head = new Uint8Array(4);
  const blocks: MetadataBlock[] = [];
  let at = 4;
  for (;;) {
    if (source.readInto(head, at) < 4) return { blocks, end: at, lost: true };
    const type = head[0] & 0x7f;
    const size = 65_536 * head[1] + 256 * head[2] + head[3];
    const end = at + 4 + size;
    if (type === blockType.invalid || end > source.size || blocks.length >= mostBlocks) {
      return { blocks, end: at, lost: true };
    }
    blocks.push({ type, offset: at + 4, size });
    at = end;
    if ((head[0] & 0x80) !== 0) return { blocks, end: at };
  }
}

/** The first block of FLAC. */
export interface StreamInfo {
  /** Sample frames in the shortest FLAC frame except the last. */
  readonly leastFrames: number;
  /** Sample frames in the longest FLAC frame. */
  readonly mostFrames: number;
  /** Bytes of the longest FLAC frame; 0 if the encoder did not say. */
  readonly mostBytes: number;
  readonly sampleRate: number;
  readonly channels: number;
  readonly bits: number;
  /** Sample frames of the stream; 0 if the encoder did not say. */
  readonly frames: number;
  /** MD5 of the samples, hexadecimal; absent if the encoder left it zero. */
  readonly md5?: string;
}

/** Bytes of a STREAMINFO block. */
export const streamInfoBytes = 34;

/**
 * Reads a STREAMINFO block: RFC 9639, section 8.2.
 *
 * @param bytes its 34 bytes
 * @example
 * const source = openFile(recording);
 * const bytes = new Uint8Array(34);
 * source.readInto(bytes, 8);
 * readStreamInfo(bytes).sampleRate; // 44100
 * source.close();
 */
export function readStreamInfo(bytes: Uint8Array): StreamInfo {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  // 20 bits of rate, 3 of channels, 5 of word length, 36 of length.
  const packed = view.getBigUint64(10);
  const md5 = Buffer.from(bytes.subarray(18, 34)).toString("hex");
  return {
    leastFrames: view.getUint16(0),
    mostFrames: view.getUint16(2),
    // 24 bits, after those of the shortest.
    mostBytes: view.getUint32(6) & 0xff_ffff,
    sampleRate: Number(packed >> 44n),
    channels: Number((packed >> 41n) & 7n) + 1,
    bits: Number((packed >> 36n) & 31n) + 1,
    frames: Number(packed & 0xf_ffff_ffffn),
    ...(/^0+$/.test(md5) ? {} : { md5 }),
  };
}

/** Bytes of comments that are read. */
export const mostCommentBytes = 1 << 20;

const utf8 = new TextDecoder("utf-8");

/**
 * Reads a block of Vorbis comments: RFC 9639, section 8.6.
 *
 * @returns texts by name in lower case, the first of each name
 * @example
 * const text = (words) => [words.length, 0, 0, 0, ...Buffer.from(words)];
 * const bytes = Uint8Array.from([...text("x"), 1, 0, 0, 0, ...text("TITLE=Evening")]);
 * readComments(bytes).get("title"); // "Evening"
 */
export function readComments(bytes: Uint8Array): ReadonlyMap<string, string> {
  const comments = new Map<string, string>();
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const sizeAt = (at: number) => (at + 4 <= bytes.length ? view.getUint32(at, true) : undefined);
  const vendor = sizeAt(0);
  if (vendor === undefined) return comments;
  // The number of comments is not used: they end with the block.
  let at = 8 + vendor;
  for (;;) {
    const size = sizeAt(at);
    if (size === undefined || at + 4 + size > bytes.length) return comments;
    const text = utf8.decode(bytes.subarray(at + 4, at + 4 + size));
    const equals = text.indexOf("=");
    const name = text.slice(0, equals).toLowerCase();
    if (equals > 0 && !comments.has(name)) comments.set(name, sanitizeText(text.slice(equals + 1)));
    at += 4 + size;
  }
}
