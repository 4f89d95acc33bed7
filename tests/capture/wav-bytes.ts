import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll } from "vitest";

/** WAV files made by hand, byte by byte, so that the reader is not tested by a writer of ours. */

export function ascii(text: string): Uint8Array {
  return Uint8Array.from(text, (c) => c.charCodeAt(0));
}

export function u16(...values: number[]): Uint8Array {
  return Uint8Array.from(values.flatMap((v) => [v & 255, (v >> 8) & 255]));
}

export function u32(...values: number[]): Uint8Array {
  return Uint8Array.from(
    values.flatMap((v) => [v, v >>> 8, v >>> 16, v >>> 24].map((b) => b & 255)),
  );
}

export function u64(value: number | bigint): Uint8Array {
  const bytes = new Uint8Array(8);
  new DataView(bytes.buffer).setBigUint64(0, BigInt(value), true);
  return bytes;
}

export function join8(...parts: readonly Uint8Array[]): Uint8Array {
  return Uint8Array.from(parts.flatMap((part) => [...part]));
}

/** A chunk with its true size, and a pad byte after odd contents. */
export function chunk(id: string, contents: Uint8Array): Uint8Array {
  return join8(sized(id, contents.length, contents), new Uint8Array(contents.length % 2));
}

/** A chunk that claims a size, and no pad byte. */
export function sized(id: string, size: number, contents: Uint8Array): Uint8Array {
  return join8(ascii(id), u32(size), contents);
}

export interface Fmt {
  readonly tag?: number;
  readonly channels?: number;
  readonly rate?: number;
  readonly bits?: number;
  readonly align?: number;
}

export function fmt({ tag = 1, channels = 1, rate = 48_000, bits = 16, align }: Fmt = {}) {
  const frame = align ?? (channels * bits) / 8;
  const body = [u16(tag, channels), u32(rate, (rate * frame) >>> 0), u16(frame, bits)];
  return chunk("fmt ", join8(...body));
}

/** The sub-format's GUID is written as in RFC 2361: {xxxxxxxx-0000-0010-8000-00AA00389B71}. */
export function fmtExtensible({
  tag = 1,
  channels = 1,
  rate = 48_000,
  bits = 24,
  validBits = bits,
}: Fmt & { readonly validBits?: number } = {}) {
  const frame = (channels * bits) / 8;
  const head = [u16(0xfffe, channels), u32(rate, rate * frame), u16(frame, bits, 22, validBits)];
  const body = [...head, u32(0)];
  const guid = Uint8Array.of(tag, 0, 0, 0, 0, 0, 0x10, 0, 0x80, 0, 0, 0xaa, 0, 0x38, 0x9b, 0x71);
  return chunk("fmt ", join8(...body, guid));
}

export function wav(...chunks: readonly Uint8Array[]): Uint8Array {
  return container("RIFF", ...chunks);
}

export function container(id: string, ...chunks: readonly Uint8Array[]): Uint8Array {
  const body = join8(ascii("WAVE"), ...chunks);
  return join8(ascii(id), u32(id === "RIFF" ? body.length : 0xffff_ffff), body);
}

export function int16s(...values: number[]): Uint8Array {
  return u16(...values);
}

/** A folder for the files of one test file, removed afterwards. */
export function scratchFolder(): (name: string, bytes: Uint8Array) => string {
  const folder = mkdtempSync(join(tmpdir(), "deskround-wav-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return (name, bytes) => {
    const file = join(folder, name);
    writeFileSync(file, bytes);
    return file;
  };
}

/** What a call throws. */
export function thrownBy(call: () => unknown): unknown {
  try {
    call();
  } catch (error) {
    return error;
  }
  return undefined;
}
