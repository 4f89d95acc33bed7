import { describe, expect, test } from "vitest";
import { DeskroundError } from "../../src/errors.js";
import { type BatchName, batchWorks } from "../../src/simulate/batches.js";
import { simulatePath, virtualDesk } from "../../src/simulate/desk.js";
import { leakedV } from "../../src/simulate/stages/leakage.js";
import type { VirtualDeskOptions } from "../../src/simulate/types.js";
import { amplitudeAt, decibel, rms, tone } from "./tone.js";

const sampleRate = 48_000;
const usual: VirtualDeskOptions = {
  seed: 8,
  strips: 6,
  inputs: ["mic", "line"],
  mainsHz: 50,
  faults: [],
};
const sound = virtualDesk(usual);
const silence = new Float64Array(2 * sampleRate);
const mean = (samples: Float64Array) => samples.reduce((sum, x) => sum + x, 0) / samples.length;

function recorded(
  change: Partial<VirtualDeskOptions>,
  strip = 2,
  input = "line",
  signal: Float64Array = silence,
) {
  return simulatePath(virtualDesk({ ...usual, ...change }), strip, input, signal, sampleRate);
}

describe("a batch of strips", () => {
  test.each(Object.keys(batchWorks) as BatchName[])(
    "that was %s differs from the others, which stay as they were",
    (work) => {
      const { paths } = virtualDesk({ ...usual, batches: [{ strips: [1, 2, 3], work }] });
      for (const path of ["1/mic", "3/line"]) expect(paths[path]).not.toEqual(sound.paths[path]);
      for (const path of ["4/mic", "6/line"]) expect(paths[path]).toEqual(sound.paths[path]);
    },
  );

  test("has its faults put in after the work", () => {
    const batches = [{ strips: [1, 2, 3], work: "recapped" }];
    const faults = [{ at: "2/line", fault: "dried-coupling", severity: 0 }];
    const renewed = virtualDesk({ ...usual, batches }).paths["2/line"].coupling.farad;
    const dried = virtualDesk({ ...usual, batches, faults }).paths["2/line"].coupling.farad;
    expect(dried).toBeLessThan(renewed / 2);
  });

  test("of unknown work or of strips that are not there is refused", () => {
    const desk = (strips: number[], work: string) => () =>
      virtualDesk({ ...usual, batches: [{ strips, work }] });
    expect(desk([1], "gilded")).toThrow(/gilded/);
    expect(desk([7], "recapped")).toThrow(DeskroundError);
  });
});

describe("a direct output", () => {
  test("shows the voltage that leaks onto a strip, divided and amplified as signal is", () => {
    const change = {
      output: "direct" as const,
      faults: [{ at: "2/line", fault: "leaky-coupling", severity: 0.5 }],
    };
    const { paths, master, interface: io } = virtualDesk({ ...usual, ...change });
    const { leakage, contact, summingOhm, driveOhm, faderDb, offsetV } = paths["2/line"];
    const onLoadV = leakedV(leakage, contact.loadOhm) + offsetV;
    const fader = 10 ** (faderDb / 20) * (summingOhm / (summingOhm + driveOhm));
    const sum = (master.summingFeedbackOhm / summingOhm) * master.outputGain;
    const atInputV = onLoadV * fader * sum * (io.inputOhm / (io.inputOhm + master.outputOhm));
    const fullScaleV = Math.SQRT2 * Math.sqrt(0.6) * 10 ** (22 / 20);
    expect(mean(recorded(change)) / (atInputV / fullScaleV)).toBeCloseTo(1, 2);
  });

  test("shows millivolts of offset on a healthy strip, and an output capacitor none", () => {
    const fullScaleV = 13.8;
    expect(Math.abs(mean(recorded({ output: "direct" }))) * fullScaleV).toBeLessThan(0.02);
    expect(Math.abs(mean(recorded({ output: "direct" }))) * fullScaleV).toBeGreaterThan(1e-5);
    const faults = [{ at: "2/line", fault: "leaky-coupling", severity: 1 }];
    expect(Math.abs(mean(recorded({ faults }))) * fullScaleV).toBeLessThan(1e-3);
  });

  test("loses no bass", () => {
    const loss = (change: Partial<VirtualDeskOptions>) =>
      decibel(amplitudeAt(recorded(change, 2, "line", tone(4, 3, sampleRate)), 4, sampleRate));
    const { coupling, outputOhm } = sound.master;
    const x = 2 * Math.PI * 4 * coupling.farad * (10_000 + outputOhm + coupling.seriesOhm);
    // Closed form of the first-order high-pass that is no longer there; steady within three of its
    // time constants of 0.22 s and less, to a hundredth.
    const expected = -decibel(x / Math.hypot(1, x));
    expect(Math.abs(loss({ output: "direct" }) - loss({}) - expected)).toBeLessThan(0.02);
  });
});

describe("options of a desk", () => {
  test("change the interface's noise", () => {
    const noisy = { interface: { inputNoiseV: 69e-6 } };
    // 69 µV/√Hz over 24 kHz against 13.79 V, the peak of a full-scale sine at +22 dBu.
    const expected = (69e-6 * Math.sqrt(24_000)) / 13.79;
    expect(rms(recorded(noisy)) / expected).toBeCloseTo(1, 1);
  });

  test("raise the hum that a cable gathers on both legs", () => {
    const { commonV } = virtualDesk({ ...usual, cableHum: 10 }).paths["2/line"].cable;
    expect(commonV).toBeCloseTo(10 * sound.paths["2/line"].cable.commonV, 12);
  });
});

test("a worn gain control is heard when nothing plays, a healthy one is not", () => {
  const faults = [{ at: "2/line", fault: "worn-gain-control", severity: 0.5 }];
  const peak = (samples: Float64Array) => samples.reduce((m, x) => Math.max(m, Math.abs(x)), 0);
  expect(peak(recorded({ faults }))).toBeGreaterThan(3 * peak(recorded({})));
});

test("another take has other noise on the same components and settings", () => {
  const again = { ...usual, take: 1 };
  expect(virtualDesk(again).paths).toEqual(sound.paths);
  expect(recorded({ take: 1 })).not.toEqual(recorded({}));
});

test("an input into which nothing is patched keeps its own noise and passes no signal", () => {
  const faults = [{ at: "2/mic", fault: "nothing-patched", severity: 0 }];
  const played = tone(1000, 2, sampleRate);
  const amplitude = (change: Partial<VirtualDeskOptions>, signal: Float64Array) =>
    amplitudeAt(recorded(change, 2, "mic", signal), 1000, sampleRate);
  expect(amplitude({ faults }, played)).toBeLessThan(1e-4 * amplitude({}, played));
  const dead = { faults: [{ ...faults[0], fault: "dead-stage" }] };
  const noise = (change: Partial<VirtualDeskOptions>) => rms(recorded(change, 2, "mic"));
  expect(noise({ faults })).toBeGreaterThan(2 * noise(dead));
});
