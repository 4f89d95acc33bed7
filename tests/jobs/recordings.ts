import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { encodeSamples, type SignalFormat } from "../../src/signal/encode.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import type { SignalBand } from "../../src/signal/types.js";
import { addNoise, addReturn } from "../helpers/captures.js";
import { joinSamples } from "../helpers/samples.js";

/** A folder with a desk file of strips 1, 2, … and the inputs named. */
export function newDesk(strips: number, inputs: readonly string[] = ["mic"]): string {
  const folder = mkdtempSync(join(tmpdir(), "desk-"));
  const text = formatStarterDesk({ name: "Desk", strips: String(strips), inputs, mainsHz: 50 });
  writeFileSync(join(folder, "desk.yaml"), text);
  return folder;
}

/** How a path of a simple desk answers. */
export interface Answer {
  readonly gain?: number;
  /** Clock difference, ppm. */
  readonly driftPpm?: number;
  /** R.m.s. of its noise, full scale 1. */
  readonly noise?: number;
  readonly seed?: number;
  readonly band?: SignalBand;
}

/** What comes back from the quick signal, with as many samples as the signal has. */
export function answer(
  sampleRate: number,
  { gain = 1, driftPpm = 0, noise = 1e-5, seed = 1, band = "base" }: Answer = {},
): Float64Array {
  const table = buildSignalTable("quick", band);
  const out = new Float64Array(Math.ceil(table.lengthS * sampleRate * (1 + driftPpm * 1e-6)));
  addReturn(out, table, sampleRate, 0, driftPpm, gain);
  addNoise(out, noise, seed);
  return out;
}

/** Seconds of the quick signal. */
export const quickS = buildSignalTable("quick", "base").lengthS;

/** A pause with noise and mains hum in it. */
export function pause(seconds: number, sampleRate: number, noise = 1e-5, hum = 0): Float64Array {
  const out = new Float64Array(Math.round(seconds * sampleRate));
  addNoise(out, noise, 99);
  for (let n = 0; n < out.length; n++)
    out[n] += hum * Math.sin((2 * Math.PI * 50 * n) / sampleRate);
  return out;
}

export const joined = joinSamples;

/** Without the samples from one second to another. */
export function without(samples: Float64Array, fromS: number, toS: number, rate: number) {
  return joined(samples.subarray(0, fromS * rate), samples.subarray(toS * rate));
}

/**
 * Writes a WAV file by hand (Multimedia Programming Interface and Data Specifications 1.0), so
 * that the program's own writer is not what its reader is tried on.
 *
 * @param channels samples of each, equally long
 */
export function writeCapture(
  file: string,
  channels: readonly Float64Array[],
  sampleRate: number,
  format: SignalFormat = "int24",
): string {
  const bytesEach = Number(format.replace(/\D/g, "")) / 8;
  const encoded = channels.map((samples) => encodeSamples(samples, format));
  const data = channels.length === 1 ? encoded[0] : interleaved(encoded, bytesEach);
  const tag = format === "float32" ? 3 : 1;
  writeFileSync(
    file,
    Buffer.concat([header(tag, channels.length, sampleRate, bytesEach, data.length), data]),
  );
  return file;
}

function interleaved(channels: readonly Uint8Array[], bytesEach: number): Uint8Array {
  const data = new Uint8Array(channels[0].length * channels.length);
  const frameBytes = bytesEach * channels.length;
  channels.forEach((bytes, c) => {
    let to = c * bytesEach;
    for (let from = 0; from < bytes.length; from += bytesEach) {
      for (let k = 0; k < bytesEach; k++) data[to + k] = bytes[from + k];
      to += frameBytes;
    }
  });
  return data;
}

/** The 44 bytes before the samples. */
export function header(
  tag: number,
  channels: number,
  sampleRate: number,
  bytesEach: number,
  dataBytes: number,
): Buffer {
  const head = Buffer.alloc(44);
  head.write("RIFF", 0, "latin1");
  head.writeUInt32LE(36 + dataBytes, 4);
  head.write("WAVEfmt ", 8, "latin1");
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(tag, 20);
  head.writeUInt16LE(channels, 22);
  head.writeUInt32LE(sampleRate, 24);
  head.writeUInt32LE(sampleRate * channels * bytesEach, 28);
  head.writeUInt16LE(channels * bytesEach, 32);
  head.writeUInt16LE(8 * bytesEach, 34);
  head.write("data", 36, "latin1");
  head.writeUInt32LE(dataBytes, 40);
  return head;
}
