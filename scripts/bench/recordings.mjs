import { closeSync, ftruncateSync, openSync, writeSync } from "node:fs";
import { buildSignalTable } from "../../dist/signal/signal-table.js";
import { synthesise } from "../../dist/signal/synthesise.js";

export const sampleRate = 96_000;
export const table = buildSignalTable("standard", "wide");
/** Between two returns, seconds. */
const pauseS = 1;

/** A fast source of numbers that are alike every time (xorshift, G. Marsaglia, J. Stat. Softw. 8(14), 2003). */
export function randomOf(seed) {
  let state = seed | 1;
  return () => {
    state ^= state << 13;
    state ^= state >>> 17;
    state ^= state << 5;
    return state / 2 ** 31;
  };
}

/** 24-bit bytes of samples through a gain, a bend that makes harmonics, and noise. */
export function encodeReturn(samples, gain, bend, random) {
  const bytes = Buffer.alloc(3 * samples.length);
  for (let n = 0; n < samples.length; n++) {
    const x = gain * samples[n];
    const y = x + bend * x * x + 3e-5 * (random() + random());
    const value = Math.round(Math.max(-1, Math.min(1 - 2 ** -23, y)) * 2 ** 23);
    bytes.writeIntLE(value, 3 * n, 3);
  }
  return bytes;
}

/** Sizes beyond 32 bits stand in a `ds64` chunk (EBU Tech 3306). */
export function headerOf(dataBytes) {
  const head = Buffer.alloc(80);
  head.write("RF64\xff\xff\xff\xffWAVEds64", 0, "latin1");
  head.writeUInt32LE(28, 16);
  head.writeBigUInt64LE(BigInt(72 + dataBytes), 20);
  head.writeBigUInt64LE(BigInt(dataBytes), 28);
  head.writeBigUInt64LE(BigInt(dataBytes / 3), 36);
  head.write("fmt ", 48, "latin1");
  head.writeUInt32LE(16, 52);
  head.writeUInt16LE(1, 56);
  head.writeUInt16LE(1, 58);
  head.writeUInt32LE(sampleRate, 60);
  head.writeUInt32LE(3 * sampleRate, 64);
  head.writeUInt16LE(3, 68);
  head.writeUInt16LE(24, 70);
  head.write("data\xff\xff\xff\xff", 72, "latin1");
  return head;
}

/** One long capture with so many returns; seconds of it. */
export function writeRound(file, count) {
  const played = new Float64Array((table.lengthS + pauseS) * sampleRate);
  played.set(synthesise(table, sampleRate));
  const fd = openSync(file, "w");
  writeSync(fd, headerOf(3 * count * played.length));
  for (let k = 0; k < count; k++) {
    writeSync(
      fd,
      encodeReturn(played, 0.9 + 0.001 * (k % 7), 1e-4 * (1 + (k % 5) / 10), randomOf(k + 7)),
    );
  }
  closeSync(fd);
  return (count * played.length) / sampleRate;
}

/** A capture of so many seconds, a return at either end and a hole, which costs no disk, between. */
export function writeLong(file, seconds) {
  const played = synthesise(table, sampleRate);
  const frames = Math.round(seconds * sampleRate);
  const fd = openSync(file, "w");
  writeSync(fd, headerOf(3 * frames));
  ftruncateSync(fd, 80 + 3 * frames);
  [0, frames - played.length].forEach((at, k) => {
    writeSync(fd, encodeReturn(played, 0.9, 1e-4, randomOf(k + 7)), 0, undefined, 80 + 3 * at);
  });
  closeSync(fd);
}

/** Bursts of noise through moving resonances, with pauses: about as busy as talk is for a search. */
export function writeTalk(file, seconds) {
  const random = randomOf(99);
  const frames = Math.round(seconds * sampleRate);
  const block = new Float64Array(sampleRate);
  const fd = openSync(file, "w");
  writeSync(fd, headerOf(3 * frames));
  let [a, b] = [0, 0];
  for (let at = 0; at < frames; at += block.length) {
    const hz = 200 + 1500 * Math.abs(random());
    const turn = 2 * 0.995 * Math.cos((2 * Math.PI * hz) / sampleRate);
    for (let n = 0; n < block.length; n++) {
      const open = Math.max(0, Math.sin((n / block.length) * 8 * Math.PI)) * 0.002;
      const next = turn * a - 0.990025 * b + open * random();
      [a, b] = [next, a];
      block[n] = next;
    }
    writeSync(fd, encodeReturn(block, 1, 0, random));
  }
  closeSync(fd);
}

/** Silence of a recorder: a hole in the file. */
export function writeSilence(file, seconds) {
  const frames = Math.round(seconds * sampleRate);
  const fd = openSync(file, "w");
  writeSync(fd, headerOf(3 * frames));
  ftruncateSync(fd, 80 + 3 * frames);
  closeSync(fd);
}
