import { writeFileSync } from "node:fs";
import { buildSignalTable, chooseBand } from "../../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../../dist/signal/signal-wav.js";
import { synthesise } from "../../dist/signal/synthesise.js";
import { simulatePath, virtualDesk } from "../../dist/simulate/desk.js";

export const sampleRate = 48_000;

/** Kept between the tasks of one thread: all of a desk have the same parts and signal. */
let kept;

/**
 * Plays the signal through one path and writes what comes back, a 24-bit WAV file; noise and hum
 * are there before and after the signal as they are within.
 *
 * @param {{ options: object, profile: string, take: import("./draw.mjs").Take, file: string }} task
 * @returns {string} the file
 */
export function runRecordTask({ options, profile, take: one, file }) {
  const { strip, input, take = 0, turn = 0, ...around } = one;
  const { desk, signal } = prepared(options, profile);
  const before = Math.round(around.beforeS * sampleRate);
  const after = Math.round(around.afterS * sampleRate);
  const played = new Float64Array(before + signal.length + after);
  played.set(signal, before);
  const heard = simulatePath({ ...desk, take, turn }, strip, input, played, sampleRate);
  writeFileSync(file, encodeCaptureWav(heard, sampleRate, "int24"));
  return file;
}

function prepared(options, profile) {
  const key = JSON.stringify([options, profile]);
  if (kept?.key === key) return kept;
  const signal = synthesise(buildSignalTable(profile, chooseBand(sampleRate)), sampleRate);
  kept = { key, desk: virtualDesk(options), signal };
  return kept;
}
