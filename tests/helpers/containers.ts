import { createHash } from "node:crypto";

/** A WAV file's samples, as in the 44 bytes of header that the tests' own captures have. */
export interface Pcm {
  readonly channels: number;
  readonly sampleRate: number;
  /** 16 or 24. */
  readonly bits: number;
  /** Interleaved, low byte first. */
  readonly data: Buffer;
}

/** Takes apart a capture of `writeCapture`. */
export function readPlainWav(bytes: Buffer): Pcm {
  return {
    channels: bytes.readUInt16LE(22),
    sampleRate: bytes.readUInt32LE(24),
    bits: bytes.readUInt16LE(34),
    data: bytes.subarray(44),
  };
}

/** The same samples as AIFF (Apple, Audio Interchange File Format 1.3, 1989). */
export function encodeAiff({ channels, sampleRate, bits, data }: Pcm): Buffer {
  const each = bits / 8;
  const samples = Buffer.alloc(data.length);
  for (let i = 0; i < data.length; i++) {
    samples[i] = data[i - (i % each) + (each - 1 - (i % each))];
  }
  const head = Buffer.alloc(54);
  head.write("FORM", 0, "latin1");
  head.writeUInt32BE(46 + data.length, 4);
  head.write("AIFFCOMM", 8, "latin1");
  head.writeUInt32BE(18, 16);
  head.writeUInt16BE(channels, 20);
  head.writeUInt32BE(data.length / each / channels, 22);
  head.writeUInt16BE(bits, 26);
  // Extended precision: the leading bit of the mantissa is written.
  const exponent = Math.floor(Math.log2(sampleRate));
  head.writeUInt16BE(16_383 + exponent, 28);
  head.writeBigUInt64BE(BigInt(sampleRate) << BigInt(63 - exponent), 30);
  head.write("SSND", 38, "latin1");
  head.writeUInt32BE(8 + data.length, 42);
  return Buffer.concat([head, samples]);
}

const blockFrames = 4096;

/**
 * The same samples as FLAC without any prediction: verbatim subframes (RFC 9639, section 9.2.2).
 *
 * @param applications contents of `APPLICATION` blocks
 */
export function encodeFlac(
  { channels, sampleRate, bits, data }: Pcm,
  applications: readonly Buffer[] = [],
): Buffer {
  const each = bits / 8;
  const frames = data.length / each / channels;
  const info = Buffer.alloc(42);
  info.write("fLaC", 0, "latin1");
  info[4] = applications.length === 0 ? 0x80 : 0;
  info[7] = 34;
  info.writeUInt16BE(blockFrames, 8);
  info.writeUInt16BE(blockFrames, 10);
  const packed =
    (BigInt(sampleRate) << 44n) |
    (BigInt(channels - 1) << 41n) |
    (BigInt(bits - 1) << 36n) |
    BigInt(frames);
  info.writeBigUInt64BE(packed, 18);
  createHash("md5").update(data).digest().copy(info, 26);
  const parts: Buffer[] = [info];
  applications.forEach((block, k) => {
    const head = Buffer.alloc(4);
    head.writeUInt32BE(0x0200_0000 + block.length);
    if (k === applications.length - 1) head[0] |= 0x80;
    parts.push(head, block);
  });
  for (let first = 0; first < frames; first += blockFrames) {
    const count = Math.min(blockFrames, frames - first);
    const number = [...Buffer.from(String.fromCodePoint(first / blockFrames))];
    // Block size in two bytes, rate from the head of the file, channels apart.
    const depth = bits === 16 ? 4 : 6;
    const header = [0xff, 0xf8, 0x70, ((channels - 1) << 4) | (depth << 1), ...number];
    header.push((count - 1) >> 8, (count - 1) & 255);
    header.push(crc(header, 0x07, 8));
    const frame = Buffer.alloc(header.length + channels * (1 + count * each) + 2);
    frame.set(header);
    let at = header.length;
    for (let c = 0; c < channels; c++) {
      frame[at++] = 0x02;
      for (let i = first; i < first + count; i++) {
        for (let k = each - 1; k >= 0; k--) frame[at++] = data[(i * channels + c) * each + k];
      }
    }
    frame.writeUInt16BE(crc(frame.subarray(0, at), 0x8005, 16), at);
    parts.push(frame);
  }
  return Buffer.concat(parts);
}

/** Bit by bit, as the division is defined. */
function crc(bytes: Iterable<number>, polynomial: number, bits: number): number {
  const top = 1 << (bits - 1);
  let rest = 0;
  for (const byte of bytes) {
    rest ^= byte << (bits - 8);
    for (let k = 0; k < 8; k++) {
      rest = ((rest & top) !== 0 ? (rest << 1) ^ polynomial : rest << 1) & (2 * top - 1);
    }
  }
  return rest;
}
