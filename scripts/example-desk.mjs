/**
 * The recordings that the examples in README.md and docs/ are made with: a small virtual desk,
 * so that every example can be run and what it prints can be shown as it is.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { captureWav } from "../dist/signal/file.js";
import { bandFor, signalTable } from "../dist/signal/profiles.js";
import { synthesise } from "../dist/signal/synthesise.js";
import { assembleCapture, pause } from "../dist/simulate/capture.js";
import { renderPath, virtualDesk } from "../dist/simulate/desk.js";

const sampleRate = 48_000;
const profile = "quick";
const inputs = ["mic", "line"];
const strips = 8;
const options = {
  seed: 41,
  strips,
  inputs,
  mainsHz: 50,
  clockPpm: 11,
  faults: [
    { at: "3/mic", fault: "noisy-input-device", severity: 0.5 },
    { at: "5/line", fault: "dried-coupling", severity: 0.4 },
    { at: "7/line", fault: "low-cut-in", severity: 0.5 },
  ],
};
/** The path that gives nothing back in `evening.wav`. */
const dead = "6/mic";
const pauseS = 2.5;

/**
 * Writes the recordings into a folder.
 *
 * - `recording.wav`: one long recording of all paths in the order of the run sheet
 * - `evening.wav`: the same, but path 6/mic gives nothing back
 * - `paths/01-mic.wav` …: one file for each path
 * - `retakes/3-mic take 2.wav`: a path played once more
 * - `mistakes/`: recordings that went wrong
 */
export function recordExample(folder) {
  const desk = virtualDesk(options);
  const signal = synthesise(signalTable(profile, bandFor(sampleRate)), sampleRate);
  const paths = inputs.flatMap((input) =>
    Array.from({ length: strips }, (_, k) => ({ strip: k + 1, input })),
  );
  const heard = paths.map(({ strip, input }) => renderPath(desk, strip, input, signal, sampleRate));
  const silence = pause(signal.length / sampleRate, sampleRate, "nothing came back");
  const write = (file, samples) => write16(join(folder, file), samples);
  const long = (renders) =>
    assembleCapture(renders, Array(renders.length + 1).fill(pauseS), sampleRate, 1);

  for (const part of ["paths", "retakes", "mistakes"]) {
    mkdirSync(join(folder, part), { recursive: true });
  }
  write("recording.wav", long(heard));
  const evening = paths.map(({ strip, input }, k) =>
    `${strip}/${input}` === dead ? silence : heard[k],
  );
  write("evening.wav", long(evening));
  paths.forEach(({ strip, input }, k) => {
    write(`paths/0${strip}-${input}.wav`, long([heard[k]]));
  });
  const again = virtualDesk({ ...options, occasion: 1 });
  write("retakes/3-mic take 2.wav", long([renderPath(again, 3, "mic", signal, sampleRate)]));

  write("mistakes/nothing.wav", pause(20, sampleRate, "nothing recorded"));
  write("mistakes/stopped.wav", long([heard[0]]).subarray(0, 6 * sampleRate));
  write("mistakes/loud.wav", long([heard[0].map((x) => Math.max(-1, Math.min(1, 300 * x)))]));
  write("mistakes/strip 9 mic.wav", long([heard[0]]));
  const wrongRate = captureWav(long(heard.slice(0, 2)), 44_100, "int24");
  writeFileSync(join(folder, "mistakes/wrong rate.wav"), wrongRate);
  writeFileSync(join(folder, "mistakes/evening.mp3"), "ID3\u0004 not the bytes of a WAV file");
}

function write16(file, samples) {
  writeFileSync(file, captureWav(samples, sampleRate, "int24"));
}
