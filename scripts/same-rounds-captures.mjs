/**
 * The fixed set of captures of `same-rounds.mjs`: the demo's, the circuits', those of the examples in
 * the docs, and what is made of them: a multichannel file, a stereo bus, a recording in parts.
 */
import { spawnSync } from "node:child_process";
import { cpSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { recordExample } from "./example-desk.mjs";

const root = fileURLToPath(new URL("..", import.meta.url));
const launcher = join(root, "bin/deskround.js");

/**
 * Renders the captures with the program of this checkout, and composes others of them.
 *
 * - `demo/`: one file for each path, and its desk file
 * - `circuits/`: ten strips drawn as circuits, and their desk file
 * - `example/`: see example-desk.mjs
 *
 * @param {string} folder is made if it does not exist
 */
export function renderCaptures(folder) {
  const demo = join(folder, "demo");
  mkdirSync(folder, { recursive: true });
  const run = spawnSync(process.execPath, [launcher, "demo", "--folder", demo], {
    stdio: ["ignore", "ignore", "inherit"],
  });
  if (run.status !== 0) throw new Error(`the demo ended with ${run.status}`);
  for (const made of readdirSync(demo)) {
    if (made !== "captures" && made !== "desk.yaml") {
      rmSync(join(demo, made), { recursive: true });
    }
  }
  const circuits = join(folder, "circuits");
  for (const name of ["strips.wav", "desk.yaml"]) {
    cpSync(join(root, "fixtures/spice", name), join(circuits, name));
  }
  recordExample(join(folder, "example"));
  composeCaptures(folder);
}

/**
 * Composes captures of those that are rendered.
 *
 * - `channels/line.wav`: eight strips of the demo at once, one on each channel
 * - `stereo/mic.wav`: the example's mic recording on both sides of a stereo bus, the right one
 *   0.26 dB lower
 * - `parts/evening_001.wav` to `_003.wav`: the example's mic and line recordings in one, split within
 *   returns
 *
 * @param {string} folder holds `demo` and `example`
 */
export function composeCaptures(folder) {
  const demo = join(folder, "demo");
  const example = join(folder, "example");
  const strips = ["01", "02", "03", "04", "05", "06", "07", "08"];
  const lines = strips.map((strip) => readMono(join(demo, "captures", `${strip}-line.wav`)));
  writeFrames(join(folder, "channels"), "line.wav", interleave(lines), lines.length);

  const mic = readMono(join(example, "mic.wav"));
  writeFrames(join(folder, "stereo"), "mic.wav", interleave([mic, attenuate(mic, 0.97)]), 2);

  const evening = Buffer.concat([mic, readMono(join(example, "line.wav"))]);
  const frames = evening.length / bytes;
  // Both cuts fall within returns, not into the pauses between them.
  const cuts = [0, Math.round(frames * 0.29), Math.round(frames * 0.655), frames];
  for (let i = 0; i + 1 < cuts.length; i++) {
    const part = evening.subarray(cuts[i] * bytes, cuts[i + 1] * bytes);
    writeFrames(join(folder, "parts"), `evening_00${i + 1}.wav`, part, 1);
  }
}

/** Bytes of a sample: all of these captures are of 24 bit. */
const bytes = 3;
const sampleRate = 48_000;

/** The samples of a mono file of 24 bit, as they stand in it. */
function readMono(file) {
  const wav = readFileSync(file);
  let at = 12;
  while (at + 8 <= wav.length) {
    const size = wav.readUInt32LE(at + 4);
    if (wav.toString("latin1", at, at + 4) === "data") return wav.subarray(at + 8, at + 8 + size);
    at += 8 + size + (size % 2);
  }
  throw new Error(`${file} has no samples`);
}

function attenuate(samples, factor) {
  const out = Buffer.alloc(samples.length);
  for (let at = 0; at < samples.length; at += bytes) {
    out.writeIntLE(Math.round(factor * samples.readIntLE(at, bytes)), at, bytes);
  }
  return out;
}

/** One file of several channels; the shorter ones end in silence. */
function interleave(channels) {
  const frames = Math.max(...channels.map((samples) => samples.length / bytes));
  const out = Buffer.alloc(frames * bytes * channels.length);
  channels.forEach((samples, channel) => {
    for (let i = 0; i * bytes < samples.length; i++) {
      const to = (i * channels.length + channel) * bytes;
      samples.copy(out, to, i * bytes, (i + 1) * bytes);
    }
  });
  return out;
}

function writeFrames(folder, name, data, channels) {
  mkdirSync(folder, { recursive: true });
  const head = Buffer.alloc(44);
  head.write("RIFF", 0, "latin1");
  head.writeUInt32LE(36 + data.length + (data.length % 2), 4);
  head.write("WAVEfmt ", 8, "latin1");
  head.writeUInt32LE(16, 16);
  head.writeUInt16LE(1, 20);
  head.writeUInt16LE(channels, 22);
  head.writeUInt32LE(sampleRate, 24);
  head.writeUInt32LE(sampleRate * channels * bytes, 28);
  head.writeUInt16LE(channels * bytes, 32);
  head.writeUInt16LE(8 * bytes, 34);
  head.write("data", 36, "latin1");
  head.writeUInt32LE(data.length, 40);
  writeFileSync(join(folder, name), Buffer.concat([head, data, Buffer.alloc(data.length % 2)]));
}
