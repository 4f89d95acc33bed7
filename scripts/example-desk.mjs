/**
 * The recordings that the examples in README.md and docs/ are made with: a small virtual desk,
 * so that every example can be run and what it prints can be shown as it is.
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { buildSignalTable, chooseBand } from "../dist/signal/signal-table.js";
import { encodeCaptureWav } from "../dist/signal/signal-wav.js";
import { synthesise } from "../dist/signal/synthesise.js";
import { assembleCapture, pause } from "../dist/simulate/capture.js";
import { simulateControlsPass } from "../dist/simulate/controls/pass.js";
import { simulatePath, virtualDesk } from "../dist/simulate/desk.js";
import { deskOf } from "./ten-years.mjs";

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
    { at: "7/mic", fault: "noisy-input-device", severity: 0.5 },
    { at: "5/line", fault: "dried-coupling", severity: 0.4 },
    { at: "2/line", fault: "low-cut-in", severity: 0.5 },
  ],
};
/** The path that gives nothing back in `evening/mic.wav`. */
const dead = "6/mic";
const pauseS = 1;
/** Springs of the desk that grows old. */
const years = [2031, 2034, 2036, 2038, 2040];
/** What the interface's input was turned down between the round and its re-test: 0.8 dB. */
const closingGain = 10 ** (-0.8 / 20);
/** Strips of the smaller desk that README.md's recordings are of. */
const few = [5, 6, 7, 8];

/**
 * Writes the recordings into a folder.
 *
 * - `mic.wav`, `line.wav`: one long recording for each input, in the order of the run sheet
 * - `recording-1.wav`, `recording-2.wav`: the same of the last four strips alone, and as
 *   `edited/desk.yaml` the desk file that goes with them
 * - `evening/mic.wav`: the mic recording again, but 6/mic gives nothing back
 * - `takes/7-mic.wav`, `takes/7-mic take 2.wav`: one path played twice
 * - `loopback.wav`: the signal from the interface's output straight into its input
 * - `years/2031.wav` and so on: the lines of a desk that grows old, see ten-years.mjs
 * - `closing.wav`, `closing-2.wav`: strips 2 to 8 again after the repair, the interface set a little
 *   lower; in the first nothing comes back from 8/line
 * - `controls.wav`: 3/mic and 4/mic while the gain and the fader are moved
 * - `mistakes/`: recordings that went wrong
 */
export function recordExample(folder) {
  for (const part of ["evening", "takes", "mistakes", "edited", "years"]) {
    mkdirSync(join(folder, part), { recursive: true });
  }
  const desk = virtualDesk(options);
  const signal = synthesise(buildSignalTable(profile, chooseBand(sampleRate)), sampleRate);
  const play = (strip, input, on = desk) => simulatePath(on, strip, input, signal, sampleRate);
  const write = (file, samples, rate = sampleRate) =>
    writeFileSync(join(folder, file), encodeCaptureWav(samples, rate, "int24"));
  const long = (renders) =>
    assembleCapture(renders, Array(renders.length + 1).fill(pauseS), sampleRate, 1);

  const byInput = inputs.map((input) =>
    Array.from({ length: strips }, (_, k) => play(k + 1, input)),
  );
  byInput.forEach((heard, k) => {
    write(`${inputs[k]}.wav`, long(heard));
    write(`recording-${k + 1}.wav`, long(few.map((strip) => heard[strip - 1])));
  });
  const [mic] = byInput;
  const nothing = pause(signal.length / sampleRate, sampleRate, "nothing came back");
  write(
    "evening/mic.wav",
    long(mic.map((heard, k) => (`${k + 1}/mic` === dead ? nothing : heard))),
  );
  const again = virtualDesk({ ...options, occasion: 1 });
  write("takes/7-mic.wav", long([mic[6]]));
  write("takes/7-mic take 2.wav", long([play(7, "mic", again)]));

  for (const year of years) {
    const then = virtualDesk(deskOf(year));
    const heard = Array.from({ length: strips }, (_, k) => play(k + 1, "line", then));
    write(`years/${year}.wav`, long(heard));
  }
  const repaired = virtualDesk({ ...options, occasion: 2, faults: [] });
  const lower = (samples) => samples.map((x) => closingGain * x);
  const closing = inputs.flatMap((input) =>
    Array.from({ length: strips - 1 }, (_, k) => lower(play(k + 2, input, repaired))),
  );
  write("closing.wav", long(closing.map((heard, k) => (k < closing.length - 1 ? heard : nothing))));
  write("closing-2.wav", long(closing));

  const noise = pause(signal.length / sampleRate, sampleRate, "loopback");
  write("loopback.wav", long([signal.map((sample, k) => sample + noise[k])]));

  write("controls.wav", long([3, 4].map((strip) => moved(desk, strip))));

  write("mistakes/nothing.wav", pause(20, sampleRate, "nothing recorded"));
  write("mistakes/stopped.wav", long([mic[0]]).subarray(0, 5 * sampleRate));
  write("mistakes/loud.wav", long([mic[0].map((x) => Math.max(-1, Math.min(1, 12 * x)))]));
  write("mistakes/strip 9 mic.wav", long([mic[0]]));
  write("mistakes/wrong rate.wav", long(mic.slice(0, 2)), 44_100);
  writeFileSync(join(folder, "mistakes/evening.mp3"), "ID3\u0004 not the bytes of a WAV file");
  writeFileSync(join(folder, "edited/desk.yaml"), fewStrips);
}

/** A controls pass of a mic input: on strip 3 the gain crackles, on strip 4 the fader is worn. */
function moved(desk, strip) {
  const table = buildSignalTable("controls", chooseBand(sampleRate), [
    { control: "gain", hand: "turn" },
    { control: "fader", hand: "slide" },
  ]);
  const sound = { kind: "pot", roughness: 2e-5, wornZones: 0, zoneWidth: 0.02, wornOhmParts: 0 };
  const gain = { ...sound, markAt: 0.6, lowDb: -24, highDb: 10, directV: 0 };
  const fader = { ...sound, markAt: 0.75, lowDb: Number.NEGATIVE_INFINITY, highDb: 10, directV: 0 };
  const controls =
    strip === 3
      ? [{ ...gain, roughness: 5e-3, directV: 1 }, fader]
      : [gain, { ...fader, wornZones: 3, wornOhmParts: 8 }];
  return simulateControlsPass(
    desk,
    { strip, input: "mic" },
    table,
    sampleRate,
    controls,
    `hand ${strip}`,
  );
}

const fewStrips = `name: The Quillmere desk
mains: 50
strips: [${few}]
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;
