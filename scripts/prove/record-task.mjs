import { writeFileSync } from "node:fs";
import wavefile from "wavefile";
import { buildSignalTable, chooseBand } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { simulatePath, virtualDesk } from "../../dist/simulate/desk.js";
import { resampleByPpm } from "../../dist/simulate/stages/clock.js";

export const sampleRate = 48_000;

/** Kept between the tasks of one thread: all of a round have the same parts and signal. */
const kept = new Map();
/** Noise of the right side is another take's. */
const takesApart = 1000;

/**
 * Plays the signal through one path and writes what comes back, a 24-bit WAV file; noise and hum
 * are there before and after the signal as they are within.
 *
 * @param {{ options: object, right?: object, profile: string, take: import("./draw.mjs").Take, file: string }} task
 *   `right`: the desk as its right side shows it; the file is of two channels then
 * @returns {string} the file
 */
export function runRecordTask({ options, right, profile, take: one, file }) {
  const { strip, input, take = 0, turn = 0, ...around } = one;
  const { desk, played: signal } = prepared(options, profile);
  const before = Math.round(around.beforeS * sampleRate);
  const after = Math.round(around.afterS * sampleRate);
  const played = new Float64Array(before + signal.length + after);
  played.set(signal, before);
  const heard = simulatePath({ ...desk, take, turn }, strip, input, played, sampleRate);
  if (right === undefined) {
    writeFileSync(file, encodeCaptureWav(heard, sampleRate, "int24"));
    return file;
  }
  const other = { ...prepared(right, profile).desk, take: take + takesApart, turn };
  const sides = [heard, simulatePath(other, strip, input, played, sampleRate)];
  const wave = new wavefile.WaveFile();
  wave.fromScratch(2, sampleRate, "24", sides.map(toInt24));
  writeFileSync(file, wave.toBuffer());
  return file;
}

/** @param {Float64Array} samples */
function toInt24(samples) {
  const most = 2 ** 23 - 1;
  return samples.map((x) => Math.max(-most - 1, Math.min(most, Math.round(x * 2 ** 23))));
}

function prepared(options, profile) {
  const key = JSON.stringify([options, profile]);
  const known = kept.get(key);
  if (known !== undefined) return known;
  const desk = virtualDesk(options);
  const played = playedBy(desk.clockPpm, profile);
  // What is played has its clock in it.
  const made = { desk: { ...desk, clockPpm: 0 }, played };
  // A desk has two sides at most.
  if (kept.size >= 2) kept.clear();
  kept.set(key, made);
  return made;
}

/** Seconds before the signal and after it that are played by the other clock too. */
const asideS = 0.25;
let clocked = { ppm: Number.NaN, profile: "", samples: new Float64Array(0) };

/** The signal by a capture's clock, which no desk of its own changes: made once for all paths. */
function playedBy(ppm, profile) {
  if (clocked.ppm === ppm && clocked.profile === profile) return clocked.samples;
  const signal = synthesise(buildSignalTable(profile, chooseBand(sampleRate)), sampleRate);
  const aside = Math.round(asideS * sampleRate);
  const padded = new Float64Array(signal.length + 2 * aside);
  padded.set(signal, aside);
  clocked = { ppm, profile, samples: resampleByPpm(padded, ppm) };
  return clocked.samples;
}
