import { describe, expect, it } from "vitest";
import { clipSide, headroom } from "../../src/measure/readings/headroom.js";
import type { ReturnAudio } from "../../src/measure/return-audio.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import type { Reading } from "../../src/measure/types.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { addNoise } from "../helpers/captures.js";
import { excerpt, type Path, returnThrough } from "../helpers/excerpt.js";
import { slow } from "../helpers/slow.js";

const rate = 48_000;
const names = ["silence", "sweep", "tone-1k", "steps-1k"];
const standard = excerpt(buildSignalTable("standard", "base"), names);
const quick = excerpt(buildSignalTable("quick", "base"), names);

/** Power of harmonics 2 to 10 over the fundamental, by numerical integration over a period. */
function distortionAt(path: Path, aboveNominalDb: number): number {
  const a = 10 ** ((-18 + aboveNominalDb) / 20);
  const points = 2048;
  const harmonics = new Float64Array(11);
  for (let k = 0; k < points; k++) {
    const theta = (2 * Math.PI * k) / points;
    const y = path(a * Math.cos(theta));
    for (let n = 1; n <= 10; n++) harmonics[n] += y * Math.cos(n * theta);
  }
  let power = 0;
  for (let n = 2; n <= 10; n++) power += harmonics[n] ** 2;
  return power / harmonics[1] ** 2;
}

/** Level at which the distortion reaches 1 %. */
function truth(path: Path): number {
  let low = -20;
  let high = 30;
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (distortionAt(path, middle) >= 1e-4) high = middle;
    else low = middle;
  }
  return low;
}

const clean = new Map(
  [standard, quick].map((table) => [table, returnThrough(table, rate, (x) => x)] as const),
);

function read(path: Path, table = standard, noiseRms = 1e-5, seed = 1) {
  const audio = clean.get(table) as ReturnAudio;
  const samples = audio.samples.map(path);
  addNoise(samples, noiseRms, seed);
  const context = createReturnContext({ ...audio, samples });
  return { headroom: headroom.read(context), clipSide: clipSide.read(context) };
}

/** Limits of the half-waves, and how sharp their bend is: the share at which it begins. */
const limiter =
  (positive: number, negative: number, knee: number): Path =>
  (x) => {
    const limit = x > 0 ? positive : negative;
    const size = Math.abs(x);
    const from = knee * limit;
    if (size < from) return x;
    return Math.sign(x) * (from + (limit - from) * Math.tanh((size - from) / (limit - from)));
  };

describe("headroom", () => {
  it("is where the third harmonic of a cubic path reaches 1 %, in closed form", () => {
    // y = x − c·x³: (c·a²/4)/(1 − ¾·c·a²) = 0.01, so a² = 0.01/(c·(¼ + 0.0075))
    for (const c of [0.5, 0.1]) {
      const expected = 10 * Math.log10(0.01 / (c * (0.25 + 0.0075))) + 18;
      const { headroom: found } = read((x) => x - c * x ** 3);
      expect(Math.abs((found as Reading).value - expected)).toBeLessThan(0.01);
    }
  });

  it("is that of limiters, soft and hard, even and uneven, within its uncertainty", () => {
    for (const table of [standard, quick]) {
      for (const [positive, negative, knee] of [
        [0.4, 0.4, 0.92],
        [0.42, 0.42, 0.6],
        [0.45, 0.9, 0.92],
        [0.9, 0.43, 0.8],
      ]) {
        const path = limiter(positive, negative, knee);
        const found = read(path, table).headroom as Reading;
        expect(Math.abs(found.value - truth(path))).toBeLessThan(found.uncertainty);
        expect(found.uncertainty).toBeLessThan(0.2);
      }
    }
  });

  it("holds the truth in its interval for random limiters at random levels of noise", slow, () => {
    let held = 0;
    const runs = 40;
    for (let run = 0; run < runs; run++) {
      const limit = 10 ** ((-18 + 4 + (12 * run) / runs) / 20);
      const path = limiter(
        limit,
        limit * (1 + ((run * 7) % 5) / 5),
        0.6 + (0.38 * ((run * 3) % 8)) / 8,
      );
      const found = read(path, standard, 3e-6 * 30 ** (((run * 11) % runs) / runs), run + 1);
      if (
        Math.abs((found.headroom as Reading).value - truth(path)) <=
        (found.headroom as Reading).uncertainty
      )
        held++;
    }
    // binomial of 40 at 95 %: 35 or more in 99 %
    expect(held).toBeGreaterThanOrEqual(35);
  });

  it("says from what level on it was not tried, where nothing clips", () => {
    expect(read((x) => x).headroom).toEqual({
      absent: { code: "above-highest-step", aboveNominalDb: 17 },
    });
    expect(read((x) => x, quick).headroom).toEqual({
      absent: { code: "above-highest-step", aboveNominalDb: 12 },
    });
    expect(read((x) => 1.3 * x).headroom).toEqual({
      absent: { code: "clipped-before-overload", aboveNominalDb: 17 },
    });
    expect(read((x) => x, standard, 3e-2).headroom).toEqual({
      absent: { code: "overload-in-noise" },
    });
  });

  it("does not guess far below the lowest step that distorts", () => {
    const { headroom: found } = read(limiter(0.06, 0.06, 0.9));
    expect(found).toEqual({ absent: { code: "below-lowest-step", aboveNominalDb: -6 } });
  });
});

describe("the headroom of a path with memory", () => {
  /** Paths made anew for each run: what they remember begins at nothing. */
  const paths: Record<string, () => Path> = {
    "a capacitor that a rectifying input charges": () => {
      let shift = 0;
      return (x) => {
        const drawn = Math.max(0, x - shift - 0.3);
        shift += drawn / (0.5e-3 * rate) - shift / (20e-3 * rate);
        return x - shift - drawn;
      };
    },
    "a limiter that lets go within a millisecond": () => {
      let held = 0;
      return (x) => {
        held = Math.max(Math.abs(x), held * (1 - 1 / (1e-3 * rate)));
        return held > 0.3 ? x * (0.3 / held) : x;
      };
    },
    "a stage that follows no faster than its slew rate": () => {
      let y = 0;
      return (x) => {
        const most = (2 * Math.PI * 1000 * 0.3) / rate;
        const wanted = 0.8 * (x - y);
        y += wanted / (1 + Math.abs(wanted / most) ** 8) ** (1 / 8);
        return y;
      };
    },
    "rails that give way to the current drawn": () => sagging(0.4, 0.4, 10e-3),
    // Deep in the clipping they hardly move, and the waves of two steps there agree nearly.
    "rails that give way a little": () => sagging(0.21, 0.12, 20e-3),
    // The wave would have it below the step at nominal, which has less than 1 %.
    "rails that give way just above nominal": () => sagging(0.151, 0.147, 6.2e-3),
  };

  function sagging(limit: number, sag: number, backS: number): Path {
    let drawn = 0;
    return (x) => {
      const rail = limit * (1 - sag * Math.min(0.8, drawn / limit));
      drawn += (Math.abs(x) - drawn) / (backS * rate);
      return x / (1 + Math.abs(x / rail) ** 12) ** (1 / 12);
    };
  }

  /** Distortion of a steady sine, step by step until it repeats. */
  function steady(make: () => Path, aboveNominalDb: number): number {
    const path = make();
    const period = rate / 1000;
    const a = 10 ** ((-18 + aboveNominalDb) / 20);
    const re = new Float64Array(11);
    const im = new Float64Array(11);
    for (let n = 0; n < 150 * period; n++) {
      const y = path(a * Math.sin((2 * Math.PI * n) / period));
      if (n < 140 * period) continue;
      for (let k = 1; k <= 10; k++) {
        re[k] += y * Math.cos((2 * Math.PI * k * n) / period);
        im[k] += y * Math.sin((2 * Math.PI * k * n) / period);
      }
    }
    let power = 0;
    for (let k = 2; k <= 10; k++) power += re[k] ** 2 + im[k] ** 2;
    return power / (re[1] ** 2 + im[1] ** 2);
  }

  it.each(Object.keys(paths))("with %s lies where its steady tone has 1 %%", (name) => {
    const make = paths[name];
    let low = 0;
    while (steady(make, low + 0.1) < 1e-4) low += 0.1;
    const found = read(make()).headroom as Reading;
    expect(found.value - found.uncertainty).toBeLessThan(low + 0.1);
    expect(found.value + found.uncertainty).toBeGreaterThan(low);
    // no better than the steps around it, and no worse
    expect(found.uncertainty).toBeLessThanOrEqual(3.05);
  });
});

describe("clipSide", () => {
  it("names the half-wave that clips first, as sent, whatever the path's polarity", () => {
    const positive = limiter(0.4, 0.8, 0.9);
    const upright = read(positive).clipSide as Reading;
    const reversed = read((x) => -positive(x)).clipSide as Reading;
    const negative = read(limiter(0.8, 0.4, 0.9)).clipSide as Reading;
    expect(upright.value).toBeGreaterThan(0.5);
    expect(Math.abs(reversed.value - upright.value)).toBeLessThan(0.01);
    expect(Math.abs(negative.value + upright.value)).toBeLessThan(0.01);
  });

  it("is how much further the other half-wave reaches from the mean", () => {
    // numerical integration of the limited cosine at +12 dB, the first step above 1 %
    const path = limiter(0.4, 0.8, 0.9);
    const a = 10 ** ((-18 + 12) / 20);
    let mean = 0;
    for (let k = 0; k < 4096; k++) mean += path(a * Math.cos((2 * Math.PI * k) / 4096)) / 4096;
    const expected = 20 * Math.log10((mean - path(-a)) / (path(a) - mean));
    const found = read(path).clipSide as Reading;
    expect(Math.abs(found.value - expected)).toBeLessThan(found.uncertainty);
  });

  it("is near zero where both halves clip, and absent where none does", () => {
    const both = read(limiter(0.4, 0.4, 0.9)).clipSide as Reading;
    expect(Math.abs(both.value)).toBeLessThan(both.uncertainty);
    expect(read((x) => x).clipSide).toEqual({
      absent: {
        code: "nothing-clips",
        because: { code: "above-highest-step", aboveNominalDb: 17 },
      },
    });
  });
});
