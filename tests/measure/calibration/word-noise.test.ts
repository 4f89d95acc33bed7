import { describe, expect, it } from "vitest";
import { calibrateMeasurement } from "../../../src/measure/calibration/calibrate-measurement.js";
import { buildInputCalibration } from "../../../src/measure/calibration/loopback.js";
import { computeWordNoise } from "../../../src/measure/calibration/word-noise.js";
import { findReadingKind } from "../../../src/measure/reading-kinds.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { createReturnContext } from "../../../src/measure/return-context.js";
import type { Measurement } from "../../../src/measure/types.js";
import {
  inDataSheetBand,
  inNoiseBand,
  loop,
  rate,
  recorder,
  type SyntheticInterface,
  shortTable,
} from "../../helpers/interface.js";
import { gaussian } from "../../helpers/noise.js";

const table = shortTable("silence", "tone-1k");
const step = 2 ** -15;
/** Full scale 1 V r.m.s. on both sides, its noise 103 dB below. */
const device: SyntheticInterface = {
  outputVolts: 1,
  inputVolts: 1,
  outputNoise: 0,
  inputNoise: 7e-6,
};
const known = { dbu: 4, uncertaintyDb: 0.02 };

/** Ways to 16 bits: with triangular dither, and with none. */
const ways = ["dithered", "rounded"] as const;

function inWords(way: (typeof ways)[number], audio: ReturnAudio, seed: number): ReturnAudio {
  const normal = gaussian(seed);
  // Two even values out of normal ones, by their angle.
  const even = () => Math.atan2(normal(), normal()) / (2 * Math.PI);
  const samples = audio.samples.map((x) => {
    const dither = way === "rounded" ? 0 : step * (even() + even());
    return step * Math.round((x + dither) / step);
  });
  return { ...audio, samples };
}

const ids = ["level", "noise", "noiseA", "hiss", "thd", "thdN"];

function measured(audio: ReturnAudio): Measurement {
  const context = createReturnContext(audio);
  const readings = ids.flatMap((id) => {
    const reading = findReadingKind(id)?.read(context);
    return reading === undefined || "absent" in reading ? [] : [[id, reading] as const];
  });
  return { readings: Object.fromEntries(readings), absent: {}, curves: {} };
}

/** Each recorded anew by the interface, one of them in 16 bits. */
function cleared(
  which: "loopback" | "round",
  way: (typeof ways)[number],
  volts: number,
  seed: number,
) {
  const loopback = recorder(table, device, loop)(seed);
  const round = recorder(table, device, { gain: 1, noise: volts })(seed + 1);
  const [looped, heard] = [
    measured(which === "loopback" ? inWords(way, loopback, seed + 2) : loopback),
    measured(which === "round" ? inWords(way, round, seed + 2) : round),
  ];
  const words =
    which === "round" ? { heardStep: step, ownStep: 0 } : { heardStep: 0, ownStep: step };
  return calibrateMeasurement(heard, {
    input: buildInputCalibration(0, [looped], known),
    socketDbu: 4,
    socketDb: 0.02,
    words: { ...words, sampleRate: rate },
  });
}

describe("noise of a path of which loopback or round alone was written in 16 bits", () => {
  it.each(["loopback", "round"] as const)("is held however the %s was dithered", (which) => {
    // closed form: white noise of the path alone, by the width of the band; 4 dBu is nominal level
    const fullScale = 4 - table.nominalDbfs;
    let held = 0;
    let made = 0;
    for (const [k, way] of ways.entries()) {
      for (let n = 0; n < 3; n++) {
        const volts = 10 ** (-(84 + 5 * n) / 20);
        const { readings } = cleared(which, way, volts, 1000 * k + 10 * n);
        const power = (share: number) => 10 * Math.log10(volts ** 2 * share);
        const truths = {
          hiss: power(inNoiseBand) + fullScale,
          noise: power(inNoiseBand) + fullScale,
          thdN: power(inDataSheetBand) - table.nominalDbfs,
        };
        for (const [id, truth] of Object.entries(truths)) {
          const { value, uncertainty, bound } = readings[id];
          made++;
          if (bound ? truth <= value : Math.abs(truth - value) <= uncertainty) held++;
        }
      }
    }
    // 95 % less two deviations, of six returns.
    expect(held / made).toBeGreaterThan(0.82);
  });
});

describe("computeWordNoise", () => {
  const words = { heardStep: step, ownStep: 2 * step, sampleRate: rate };
  const one = { heard: 1, own: 1 };
  const own = (id: string) => findReadingKind(id)?.own ?? { adds: "difference" as const };

  it("is white dither of a step in the band, against what the reading stands against", () => {
    // closed form: q²/4 white up to 24 kHz, a sine at full scale ½; twice the step, four times the power
    const whole = step ** 2 / 2;
    const hiss = computeWordNoise(own("hiss"), words, one);
    expect(hiss?.heard).toBeCloseTo((whole * (22_400 - 22.4)) / 24_000, 15);
    expect(hiss?.own).toBeCloseTo((4 * whole * (22_400 - 22.4)) / 24_000, 15);
    const thdN = computeWordNoise(own("thdN"), words, { heard: 0.01, own: 0.5 });
    expect(thdN?.heard).toBeCloseTo((100 * whole * 19_980) / 24_000, 13);
    const band = computeWordNoise({ adds: "power", band: "third-octaves" }, words, one, 1000);
    // IEC 61260-1, 5.6: from G^(−1/6) to G^(1/6), G = 10^0.3
    expect(band?.heard).toBeCloseTo((whole * 1000 * (10 ** 0.05 - 10 ** -0.05)) / 24_000, 15);
  });

  it("is more than the quasi-peak meter reads of dither", () => {
    // simulated: the limit is 0.3 dB above what the meter reads, and chance moves that by 0.15 dB.
    const silent = recorder(shortTable("silence"), { ...device, inputNoise: 0 }, loop)(1);
    const context = createReturnContext(inWords("dithered", silent, 5));
    const reading = findReadingKind("noise468")?.read(context);
    const most = 10 * Math.log10(computeWordNoise(own("noise468"), words, one)?.heard ?? 0);
    expect(reading).toHaveProperty("value");
    const { value } = reading as { value: number };
    expect(value).toBeLessThan(most);
    expect(value).toBeGreaterThan(most - 0.6);
  });

  it("is nothing where both were written alike, or where the interface adds no noise", () => {
    expect(computeWordNoise(own("hiss"), undefined, one)).toBeUndefined();
    expect(computeWordNoise(own("thd"), words, one)).toBeUndefined();
  });
});
