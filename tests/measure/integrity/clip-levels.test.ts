import { describe, expect, it } from "vitest";
import { findClipLevels } from "../../../src/measure/integrity/clip-levels.js";
import { measureReturn } from "../../../src/measure/measure.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import type { Profile } from "../../../src/signal/types.js";
import { addNoise, addReturn } from "../../helpers/captures.js";
import { smallReturn } from "./small-returns.js";

// Expected values: the level at which the synthetic converter clips.

const rate = 48_000;

interface Chain {
  readonly profile?: Profile;
  readonly gain?: number;
  /** Where the signal's first sample falls; 0.5 puts two equal samples beside every crest of 1 kHz. */
  readonly origin?: number;
  /** What the path makes of a sample, before the converter's noise. */
  readonly path?: (x: number) => number;
  readonly noise?: number;
  /** What converter and recorder make of a sample. */
  readonly converter?: (x: number) => number;
  readonly bits?: number;
}

function heard(chain: Chain): ReturnAudio {
  const { profile = "quick", gain = 2.5, origin = 0.3, noise = 2e-5, bits = 24 } = chain;
  const { path = (x) => x, converter = (x) => x } = chain;
  const table = buildSignalTable(profile, "base");
  const samples = new Float64Array(Math.round(table.lengthS * rate));
  addReturn(samples, table, rate, origin, 0, gain);
  for (let n = 0; n < samples.length; n++) samples[n] = path(samples[n]);
  if (noise > 0) addNoise(samples, noise, 21);
  const full = 2 ** (bits - 1);
  for (let n = 0; n < samples.length; n++) {
    const code = Math.round(converter(samples[n]) * full);
    samples[n] = Math.max(-full, Math.min(full - 1, code)) / full;
  }
  return { samples, origin, clock: rate, sampleRate: rate, table, mainsHz: 50 };
}

const clip = (low: number, high: number) => (x: number) => Math.max(low, Math.min(high, x));
const full = { high: 0.9999, low: -0.9999 };

describe("where a converter clips", () => {
  it.each([
    ["at full scale", clip(-1, 1), full],
    ["a little below", clip(-0.99, 0.99), { high: 0.99, low: -0.99 }],
    [
      "at full scale, trimmed by 3 dB",
      (x: number) => 0.7 * clip(-1, 1)(x),
      { high: 0.7, low: -0.7 },
    ],
    ["on one side", clip(-2, 0.9), { high: 0.9, low: -0.9999 }],
    ["on the other", clip(-0.6, 2), { high: 0.9999, low: -0.6 }],
  ] as const)("%s, is told", (_, converter, expected) => {
    for (const [profile, bits] of [
      ["quick", 24],
      ["standard", 24],
      ["quick", 16],
    ] as const) {
      const { high, low } = findClipLevels(heard({ profile, bits, converter }));
      expect(high).toBeCloseTo(expected.high, 4);
      expect(low).toBeCloseTo(expected.low, 4);
    }
  });

  it("takes the readings of what was clipped, and no others", () => {
    // 1 kHz comes back at 0.3; the step 12 dB above it would at 1.26.
    const { readings, absent, marks = [] } = measureReturn(heard({ converter: clip(-0.99, 0.99) }));
    expect(readings.level?.value).toBeDefined();
    expect(absent.thdHot).toEqual({ code: "converter-clipped" });
    const clipped = marks.filter((m) => m.kind === "clipped");
    expect(clipped.length).toBeGreaterThan(0);
    const steps = buildSignalTable("quick", "base").segments.find((s) => s.kind === "steps");
    for (const { atS } of clipped) {
      expect(atS).toBeGreaterThan(steps?.startS ?? Infinity);
      expect(atS).toBeLessThan((steps?.startS ?? 0) + (steps?.lengthS ?? 0));
    }
  });

  it.each([
    ["a path that does not clip", {}],
    ["of 16 bits", { bits: 16 }],
    ["of 16 bits, hardly any noise", { bits: 16, noise: 1e-6 }],
    ["without noise", { noise: 0 }],
    ["whose crests come in pairs", { origin: 0.5, noise: 0 }],
    ["whose crests come in pairs of 16 bits", { origin: 0.5, bits: 16, noise: 1.2e-5, gain: 0.4 }],
    ["a quiet path of 16 bits", { bits: 16, gain: 0.05 }],
    ["a very quiet path of 16 bits", { bits: 16, gain: 0.004 }],
    ["a path of 16 bits that limits", { bits: 16, path: (x: number) => 0.3 * Math.tanh(x / 0.3) }],
    ["a path that clips hard", { path: clip(-0.5, 0.4) }],
    ["a path that clips hard, of 16 bits", { path: clip(-0.5, 0.4), bits: 16 }],
    // Nothing tells it from a converter's: without noise nobody has recorded it.
    ["a path of ideal parts that clips", { path: clip(-0.5, 0.4), noise: 0 }],
    ["a dead path", { path: () => 0 }],
    ["digital zero", { path: () => 0, noise: 0 }],
  ] as const)("is full scale for %s", (_, chain) => {
    for (const profile of ["quick", "standard"] as const) {
      expect(findClipLevels(heard({ gain: 0.8, ...chain, profile }))).toEqual(full);
    }
  });
});

describe("a ceiling", () => {
  const small = 8000;
  interface Tops {
    readonly at?: number;
    readonly count?: number;
    readonly length?: number;
    /** Samples that lie so far below it. */
    readonly beside?: readonly [count: number, below: number];
    readonly noise?: number;
  }
  /** A silence of 0.4 s, and 0.2 s in which flat tops stand 20 samples apart. */
  function levels({ at = 0.8, count = 5, length = 3, beside = [0, 0], noise = 1e-5 }: Tops) {
    const audio = smallReturn(
      [
        { kind: "silence", name: "silence", startS: 0, lengthS: 0.4 },
        { kind: "tone", name: "tone", startS: 0.4, lengthS: 0.2 },
      ],
      { rate: small, noise, origin: 100 },
    );
    for (let k = 0; k < count; k++) audio.samples.fill(at, 4000 + 20 * k, 4000 + 20 * k + length);
    for (let k = 0; k < beside[0]; k++) {
      audio.samples[4510 + 2 * k] = at - Math.sign(at) * beside[1];
    }
    return findClipLevels(audio);
  }

  it("is five tops of three samples and more", () => {
    expect(levels({})).toEqual({ high: 0.8, low: -0.9999 });
    expect(levels({ at: -0.6 })).toEqual({ high: 0.9999, low: -0.6 });
    expect(levels({ count: 4, length: 4 })).toEqual(full);
    expect(levels({ count: 8, length: 2 })).toEqual(full);
    expect(levels({ count: 4, length: 3 })).toEqual(full);
    expect(levels({ at: 1 })).toEqual(full);
    expect(levels({ at: -1 })).toEqual(full);
  });

  it("has ten times as many samples at it as within four steps of 16 bits below", () => {
    const step = 2 ** -15;
    // 15 of them: one is a fifteenth, two are more than a tenth.
    for (const at of [0.8, -0.8]) {
      const clipped = at > 0 ? { high: at, low: -0.9999 } : { high: 0.9999, low: at };
      expect(levels({ at, beside: [1, 3 * step] })).toEqual(clipped);
      expect(levels({ at, beside: [2, 3 * step] })).toEqual(full);
      expect(levels({ at, beside: [2, 5 * step] })).toEqual(clipped);
    }
    expect(levels({ count: 5, length: 4, beside: [2, 3 * step] }).high).toBe(0.8);
  });

  it("is no lower than 0.05, and none where nothing moves the samples of the silence", () => {
    expect(levels({ at: 0.051 }).high).toBe(0.051);
    expect(levels({ at: 0.049 })).toEqual(full);
    expect(levels({ noise: 0 })).toEqual(full);
  });

  it("is looked for in what was played alone", () => {
    const audio = smallReturn([{ kind: "silence", name: "silence", startS: 0, lengthS: 0.4 }], {
      rate: small,
      noise: 1e-5,
      origin: 500,
    });
    for (let k = 0; k < 10; k++) audio.samples.fill(0.8, 20 * k, 20 * k + 3);
    expect(findClipLevels(audio)).toEqual(full);
  });
});
