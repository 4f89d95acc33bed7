import { describe, expect, it } from "vitest";
import { findReturns } from "../../../src/capture/find/find-returns.js";
import { sliceReturn } from "../../../src/capture/slice-return.js";
import { findDropouts } from "../../../src/measure/integrity/dropouts.js";
import { measureReturn } from "../../../src/measure/measure.js";
import type { ReturnAudio } from "../../../src/measure/return-audio.js";
import { createReturnContext } from "../../../src/measure/return-context.js";
import type { ReturnEvent } from "../../../src/measure/types.js";
import { buildSignalTable } from "../../../src/signal/signal-table.js";
import type { Profile } from "../../../src/signal/types.js";
import { addNoise, addReturn, memoryReader } from "../../helpers/captures.js";
import { gaussian } from "../../helpers/noise.js";
import { joinSamples, makeSamples } from "../../helpers/samples.js";
import { slow } from "../../helpers/slow.js";
import { type Played, sine, smallReturn } from "./small-returns.js";

const beforeS = 0.5;

interface Slip {
  /** Seconds of the signal. */
  readonly atS: number;
  /** Samples repeated, or lost when negative. */
  readonly samples: number;
}

/** A capture as a recorder with dropouts writes it. */
function recorded(profile: Profile, slips: readonly Slip[], rate: number, driftPpm: number) {
  const table = buildSignalTable(profile, "base");
  const whole = new Float64Array(Math.round((table.lengthS + 2 * beforeS) * rate));
  addReturn(whole, table, rate, beforeS * rate + 0.3, driftPpm, 0.8);
  addNoise(whole, 2e-5, 3);
  return slips.reduce((samples, { atS, samples: count }) => {
    const at = Math.round((beforeS + atS) * rate);
    const again = count > 0 ? samples.subarray(at - count, at) : new Float64Array(0);
    const rest = samples.subarray(count < 0 ? at - count : at);
    return joinSamples(samples.subarray(0, at), again, rest);
  }, whole);
}

function marksOf(samples: Float64Array, rate: number): readonly ReturnEvent[] {
  const reader = memoryReader([samples], rate);
  const [found] = findReturns(reader).returns;
  const table = buildSignalTable(found.profile, found.band);
  return measureReturn({ ...sliceReturn(reader, found), table, mainsHz: 50 }).marks ?? [];
}

const dropouts = (marks: readonly ReturnEvent[]) => marks.filter((m) => m.kind === "dropout");
const startOf = (profile: Profile, name: string) =>
  buildSignalTable(profile, "base").segments.find((s) => s.name === name)?.startS ?? 0;

/** As a file of so many bits holds it. */
function inBits(samples: Float64Array, bits: number): Float64Array {
  const full = 2 ** (bits - 1);
  return makeSamples(
    samples.length,
    (n) => Math.max(-full, Math.min(full - 1, Math.round(samples[n] * full))) / full,
  );
}

describe("dropouts", () => {
  it("are absent where the clocks differ and nothing was lost", slow, () => {
    for (const [rate, ppm] of [
      [48_000, 0],
      [44_100, 180],
      [48_000, -180],
    ]) {
      expect(dropouts(marksOf(recorded("quick", [], rate, ppm), rate))).toEqual([]);
    }
  });

  it.each([
    ["quick", 44_100],
    ["quick", 48_000],
    ["standard", 48_000],
  ] as const)(
    "are absent where a control crackles under the tone (%s, %i Hz)",
    slow,
    (profile, rate) => {
      // 30 ms of noise 2 dB below the tone, at twelve places of it
      const startS = startOf(profile, "tone-1k");
      const next = gaussian(rate + profile.length);
      for (let k = 0; k < 12; k++) {
        const samples = recorded(profile, [], rate, 15 * k - 90);
        const from = Math.round((beforeS + startS + 0.1 + 0.04 * k) * rate);
        for (let n = from; n < from + 0.03 * rate; n++) samples[n] += 0.1 * next();
        expect(dropouts(marksOf(samples, rate))).toEqual([]);
      }
    },
  );

  /** At some of twelve phases of a foreign tone, and in some of six rooms. */
  const besideOthers = (step: number) => () => {
    const rate = 48_000;
    for (let k = 0; k < 12; k += step) {
      const samples = recorded("quick", [], rate, 0);
      // −52 to −44 dBFS, as the 20th harmonic of the mains a little off, at any phase
      const hz = 1000 + 1.6 * Math.sin(5 * k + 1);
      for (let n = 0; n < samples.length; n++) {
        samples[n] += 0.004 * Math.sin((2 * Math.PI * hz * n) / rate + 0.5 * k);
      }
      expect(dropouts(marksOf(samples, rate))).toEqual([]);
    }
    for (let k = 0; k < 6; k += step) {
      const samples = recorded("quick", [], rate, 0);
      const heard = samples.slice();
      const next = gaussian(70 + k);
      // A hundred echoes over a second and more, together 26 dB below, each weaker than the last
      for (let echo = 0; echo < 100; echo++) {
        const late = Math.round((0.013 * (echo + 1) + 0.002 * Math.abs(next())) * rate);
        const gain = 0.008 * next() * 10 ** (-echo / 50);
        for (let n = late; n < heard.length; n++) samples[n] += gain * heard[n - late];
      }
      expect(dropouts(marksOf(samples, rate))).toEqual([]);
    }
  };
  it("are absent where a foreign tone stands beside 1 kHz, or a room dies away", besideOthers(4));
  it("are none beside any such tone, or in any such room", slow, besideOthers(1));

  it("are reported with their time where the recorder held a value in the sweep", () => {
    // 10 ms, as long as a lost buffer of 480 samples; put in at a known sample.
    const atS = startOf("quick", "sweep") + 1.2;
    const samples = recorded("quick", [], 48_000, 25);
    const at = Math.round((beforeS + atS) * 48_000);
    const [mark, ...more] = dropouts(marksOf(samples.fill(0, at, at + 480), 48_000));
    expect(more).toEqual([]);
    expect(mark).toMatchObject({ what: "held", samples: 480 });
    expect(Math.abs(mark.atS - atS)).toBeLessThan(0.002);
  });

  it.each([
    ["quick", 0.25, "its last value"],
    ["quick", 0.5, "zero"],
    ["standard", 0.4, "its last value"],
    ["standard", 1.3, "zero"],
    ["standard", 2.4, "its last value"],
  ] as const)("are told in the low part of a %s sweep, at %d s, held at %s", (profile, s, what) => {
    const atS = startOf(profile, "sweep") + s;
    const samples = recorded(profile, [], 48_000, 25);
    const at = Math.round((beforeS + atS) * 48_000);
    samples.fill(what === "zero" ? 0 : samples[at - 1], at, at + 144);
    const [mark, ...more] = dropouts(marksOf(samples, 48_000));
    expect(more).toEqual([]);
    expect(mark).toMatchObject({ what: "held" });
    expect(Math.abs(mark.atS - atS)).toBeLessThan(0.002);
  });

  it.each([
    ["clipped", (x: number) => Math.max(-0.06, Math.min(0.03, x))],
    ["clipped on one side", (x: number) => Math.min(0.004, x)],
    ["with a dead zone", (x: number) => Math.sign(x) * Math.max(0, Math.abs(x) - 0.02)],
    ["rectified", (x: number) => Math.max(0, x)],
  ])("are none in a waveform %s without any noise", (_, bent) => {
    const table = buildSignalTable("standard", "base");
    const samples = new Float64Array(Math.round((table.lengthS + 2 * beforeS) * 48_000));
    addReturn(samples, table, 48_000, beforeS * 48_000 + 0.3, 0, 0.8);
    // The markers are left as they are, so that the return is found.
    const from = Math.round((beforeS + startOf("standard", "sweep")) * 48_000);
    const until = Math.round((beforeS + startOf("standard", "marker-end")) * 48_000);
    for (let n = from; n < until; n++) samples[n] = bent(samples[n]);
    expect(dropouts(marksOf(inBits(samples, 24), 48_000))).toEqual([]);
  });

  it.each([-1, 3, -64, 30])(
    "are reported with their time where they fall into a tone (%i samples)",
    (samples) => {
      const atS = startOf("standard", "tone-1k") + 0.4;
      const [mark, ...more] = dropouts(
        marksOf(recorded("standard", [{ atS, samples }], 48_000, 25), 48_000),
      );
      expect(more).toEqual([]);
      expect(mark).toMatchObject({
        what: samples < 0 ? "lost" : "repeated",
        samples: Math.abs(samples),
      });
      if (mark.kind !== "dropout") throw new Error(mark.kind);
      expect(mark.atS).toBeLessThan(atS);
      expect(mark.untilS).toBeGreaterThan(atS);
      expect(mark.untilS - mark.atS).toBeLessThan(0.03);
    },
  );

  it.each([
    ["before the sweep", 1.5, 2],
    ["late in the sweep", 6.2, -5],
    ["after the tone", 8.5, -100],
  ])("are told between two hearings of 1 kHz, or the markers, %s", (_, atS, samples) => {
    const [mark, ...more] = dropouts(
      marksOf(recorded("standard", [{ atS, samples }], 48_000, -12), 48_000),
    );
    expect(more).toEqual([]);
    expect(mark).toMatchObject({
      what: samples < 0 ? "lost" : "repeated",
      samples: Math.abs(samples),
    });
    if (mark.kind !== "dropout") throw new Error(mark.kind);
    expect(mark.atS).toBeLessThan(atS);
    expect(mark.untilS).toBeGreaterThan(atS);
  });

  it("are told by the steps of 1 kHz from the signal's own level up: softer ones are noisier", () => {
    const slips = [{ atS: 8.5, samples: -100 }];
    const [mark] = dropouts(marksOf(recorded("standard", slips, 48_000, -12), 48_000));
    // Of the steps of 0.2 s the fourth, at −18 dBFS, is the first that is as loud as the tone.
    const fourthS = startOf("standard", "steps-1k") + 3 * 0.2;
    if (mark.kind !== "dropout") throw new Error(mark.kind);
    expect(mark.untilS).toBeGreaterThan(fourthS);
    expect(mark.untilS).toBeLessThan(fourthS + 0.2);
  });

  it("are reported where the recorder held a value", () => {
    const samples = recorded("quick", [], 48_000, 0);
    const atS = startOf("quick", "tone-1k") + 0.3;
    const from = Math.round((beforeS + atS) * 48_000);
    samples.fill(samples[from], from, from + 40);
    const [mark] = dropouts(marksOf(samples, 48_000));
    expect(mark).toMatchObject({ what: "held", samples: 40 });
    expect(mark.atS).toBeCloseTo(atS, 3);
  });

  it("are not taken for what a dirty contact does to the level", () => {
    const samples = recorded("quick", [], 48_000, 0);
    const from = Math.round((beforeS + startOf("quick", "tone-1k") + 0.25) * 48_000);
    // the contact opens for 30 ms
    for (let n = from; n < from + 1440; n++) samples[n] *= 0.001;
    expect(dropouts(marksOf(samples, 48_000))).toEqual([]);
  });
});

/** A noisy return that begins with its first sample, and what was done to it. */
function heardAt(profile: Profile, rate: number, bits: number, noise: number) {
  const table = buildSignalTable(profile, rate < 88_200 ? "base" : "wide");
  const samples = new Float64Array(Math.round(table.lengthS * rate));
  addReturn(samples, table, rate, 0.3, 20, 0.8);
  addNoise(samples, noise, 7);
  const clock = rate * (1 + 20e-6);
  const audio = { origin: 0.3, clock, sampleRate: rate, table, mainsHz: 50 };
  return { ...audio, samples: inBits(samples, bits) };
}

const dropoutsOf = (audio: ReturnAudio) => findDropouts(createReturnContext(audio));

/** What recorders put in the place of samples that did not come in time. */
const instead = {
  zeros: (x: Float64Array, at: number, count: number) => x.fill(0, at, at + count),
  "the last value": (x: Float64Array, at: number, count: number) =>
    x.fill(x[at - 1], at, at + count),
  "the last block": (x: Float64Array, at: number, count: number) =>
    x.copyWithin(at, at - count, at),
};

describe("samples lost in their place", () => {
  const random = gaussian(41);
  const standard = heardAt("standard", 48_000, 24, 2e-5);
  const wide = heardAt("quick", 96_000, 24, 2e-5);
  const coarse = heardAt("standard", 48_000, 16, 2e-5);
  const parts = standard.table.segments.map(({ name }) => name);

  /** A place within a part of the signal, drawn at random. */
  function placeIn({ clock, table, origin }: ReturnAudio, name: string, count: number): number {
    const segment = table.segments.find((s) => s.name === name);
    if (!segment) throw new Error(name);
    const lengthS =
      segment.kind === "sweep"
        ? segment.sweepS
        : segment.kind === "marker"
          ? segment.spacingS
          : segment.lengthS;
    const room = lengthS - 0.12 - count / clock;
    const share = 0.5 + 0.5 * Math.tanh(random());
    return Math.round(origin + (segment.startS + 0.1 + share * Math.max(0, room)) * clock);
  }

  const cases = parts.flatMap((name) =>
    (Object.keys(instead) as (keyof typeof instead)[]).map((what) => [name, what] as const),
  );
  it.each(cases)("in %s are reported with their time, replaced by %s", (...one) => {
    expectFound(one, [64, 480, 4096]);
  });

  it.each(cases)("in %s are reported, replaced by %s, in other numbers", slow, (...one) => {
    expectFound(one, [144, 256, 1024]);
  });

  function expectFound([name, what]: (typeof cases)[number], counts: readonly number[]): void {
    const returns = [standard, ...(name in { "tone-100": 0, twin: 0 } ? [] : [wide])];
    for (const audio of returns) {
      for (const count of counts) {
        const at = placeIn(audio, name, count);
        const samples = instead[what](audio.samples.slice(), at, count);
        const [first, ...more] = dropoutsOf({ ...audio, samples });
        const where = `${count} samples from ${at} at ${audio.sampleRate} Hz`;
        expect(more, where).toEqual([]);
        expect(first?.what, where).toBe(what === "the last block" ? "repeated" : "held");
        // The sample before or after may be the same by chance.
        expect(first.samples - count, where).toBeGreaterThanOrEqual(0);
        expect(first.samples - count, where).toBeLessThanOrEqual(2);
        const seconds = (at - audio.origin) / audio.clock;
        expect(Math.abs(first.fromS - seconds), where).toBeLessThan(1e-4);
      }
    }
  }

  it.each(["sweep", "tone-1k", "tone-100", "twin"])("in %s of 16 bits are told", (name) => {
    for (const [what, put] of Object.entries(instead)) {
      const at = placeIn(coarse, name, 480);
      const [first] = dropoutsOf({ ...coarse, samples: put(coarse.samples.slice(), at, 480) });
      expect(first?.what, `${what} from ${at}`).toBe(
        what === "the last block" ? "repeated" : "held",
      );
    }
  });

  it("are reported with a block that comes again and shifts what follows", () => {
    const at = placeIn(standard, "sweep", 64);
    const samples = standard.samples.slice();
    samples.set(standard.samples.subarray(at - 64, samples.length - 64), at);
    const [first] = dropoutsOf({ ...standard, samples });
    expect(first).toMatchObject({ what: "repeated", samples: 64 });
  });

  it("in a sweep without noise are told from a millisecond on, a period of 1 kHz", () => {
    // From there on its length alone tells a stretch that was held from what a desk makes flat.
    const silent = heardAt("quick", 48_000, 24, 0);
    const sweep = silent.table.segments.find(({ kind }) => kind === "sweep");
    const at = Math.round(((sweep?.startS ?? 0) + 1.2) * silent.clock);
    const counts = (count: number) =>
      dropoutsOf({
        ...silent,
        samples: instead["the last value"](silent.samples.slice(), at, count),
      }).length;
    expect([20, 40, 60, 200].map(counts)).toEqual([0, 0, 1, 1]);
  });

  type Bent = readonly [name: string, bits: number, bent: (x: number) => number];
  const bentReturns: readonly Bent[] = [
    ["sound", 24, (x: number) => x],
    ["sound, of 16 bits", 16, (x: number) => x],
    ["quiet, of 16 bits", 16, (x: number) => x * 0.008],
    ["very quiet, of 16 bits", 16, (x: number) => x * 0.0008],
    ["dead", 24, () => 0],
    ["dead, of 16 bits", 16, () => 0],
    ["clipped", 24, (x: number) => Math.max(-0.06, Math.min(0.03, x))],
    ["clipped, of 16 bits", 16, (x: number) => Math.max(-0.06, Math.min(0.03, x))],
    ["rectified", 24, (x: number) => Math.max(0, x)],
    ["rectified, of 16 bits", 16, (x: number) => Math.max(0, x)],
    ["rectified on both sides", 24, (x: number) => Math.abs(x)],
    ["with a dead zone", 16, (x: number) => Math.sign(x) * Math.max(0, Math.abs(x) - 0.02)],
    ["nearly all dead zone", 24, (x: number) => Math.sign(x) * Math.max(0, Math.abs(x) - 0.09)],
    ["with crossover", 16, (x: number) => Math.sign(x) * Math.max(0, Math.abs(x) - 0.0006)],
    ["squashed", 16, (x: number) => (x < 0 ? x : 0.05 * (1 - Math.exp(-x / 0.05)))],
  ];
  const rates: readonly (readonly number[])[] = [
    [48_000, 0.5, 0],
    [44_100, 0, 0],
    [96_000, 0.3, 13],
  ];
  /** Noise before and after the bend. */
  const noises: readonly (readonly number[])[] = [
    [0, 0],
    [3e-5, 1e-5],
    [3e-5, 0],
    [1e-4, 4e-6],
  ];

  function expectNone(
    [, bits, bent]: Bent,
    [rate, at, ppm]: readonly number[],
    all: readonly (readonly number[])[],
  ) {
    const table = buildSignalTable("quick", rate < 88_200 ? "base" : "wide");
    const clean = new Float64Array(Math.round(table.lengthS * rate));
    addReturn(clean, table, rate, at, ppm, 0.8);
    for (const [before, after] of all) {
      const samples = clean.slice();
      if (before > 0) addNoise(samples, before, 11);
      for (let n = 0; n < samples.length; n++) samples[n] = bent(samples[n]);
      if (after > 0) addNoise(samples, after, 12);
      const clock = rate * (1 + ppm * 1e-6);
      const audio = { origin: at, clock, sampleRate: rate, table, mainsHz: 50 };
      const heard = dropoutsOf({ ...audio, samples: inBits(samples, bits) });
      expect(heard, `at ${rate} Hz, noise ${before} and ${after}`).toEqual([]);
    }
  }

  // Where samples and clock keep step, a tone without noise comes again bit for bit.
  it.each(bentReturns)("are none in a return %s, with noise or without", (...one) => {
    expectNone(one, rates[0], noises.slice(0, 4));
    expectNone(one, rates[1], noises.slice(0, 1));
  });

  it.each(bentReturns)(
    "are none in a return %s, at other rates with other noise",
    slow,
    (...one) => {
      expectNone(one, rates[1], noises.slice(1));
      for (const rate of rates.slice(2)) expectNone(one, rate, noises);
    },
  );

  it.each([
    ["tone-1k", 24, 1440],
    ["tone-100", 24, 2900],
    ["sweep", 24, 700],
    ["tone-1k", 16, 1440],
  ] as const)("are absent where a contact opens in %s (%i bits)", (name, bits, count) => {
    // What comes after the desk goes on: the converter's noise, -96 dBFS.
    const table = buildSignalTable("standard", "base");
    const samples = new Float64Array(Math.round(table.lengthS * 48_000));
    addReturn(samples, table, 48_000, 0.3, 20, 0.8);
    addNoise(samples, 3e-5, 13);
    const audio = { ...standard, samples };
    const at = placeIn(audio, name, count);
    samples.fill(0, at, at + count);
    addNoise(samples, 1.6e-5, 14);
    expect(dropoutsOf({ ...audio, samples: inBits(samples, bits) })).toEqual([]);
  });
});

describe("clipping", () => {
  it("is reported with its times", () => {
    const samples = recorded("quick", [], 48_000, 0).map((x) => 12 * x);
    const clipped = samples.map((x) => Math.max(-1, Math.min(1, x)));
    const marks = marksOf(clipped, 48_000).filter((m) => m.kind === "clipped");
    const steps = startOf("quick", "steps-1k");
    expect(marks.some((m) => m.atS > steps && m.atS < steps + 0.05)).toBe(true);
  });
});

// Below a return is two markers' times and a tone or two of 1 kHz between them, 16 samples a period.

const small = 16_000;
const absent = { absent: { code: "not-in-signal" } };
const markers = (endS: number) =>
  [0, endS].map((startS, k) => ({
    ...{ kind: "marker", name: k === 0 ? "marker-start" : "marker-end", startS },
    lengthS: 0.05,
  }));
const toneAt = (startS: number, lengthS: number, sound = sine(1000), name = "tone-1k"): Played =>
  ({ kind: "tone", name, startS, lengthS, frequencyHz: 1000, sound }) as Played;
const inOrder = (...parts: readonly Played[]) => [...parts].sort((a, b) => a.startS - b.startS);

type Slips = NonNullable<Parameters<typeof smallReturn>[1]["slips"]>;

describe("samples lost within a tone", () => {
  const endS = 1;
  const within = (slips: Slips, clock = small, sound = sine(1000)) => {
    const segments = inOrder(...markers(endS), toneAt(0.2, 0.7, sound));
    const audio = smallReturn(segments, { rate: small, slips, clock, origin: 40, noise: 1e-5 });
    return findDropouts({ audio, tone: () => absent, sweep: () => absent } as never);
  };
  const told = (...args: Parameters<typeof within>) =>
    within(...args).map(({ what, samples }) => [what, samples]);

  it.each([1, 3, 7, -1, -4, -7])("are counted by the jump of its phase: %i", (samples) => {
    const [one, ...more] = within([{ atS: 0.55, samples }]);
    expect(more).toEqual([]);
    expect(one).toMatchObject({
      what: samples < 0 ? "lost" : "repeated",
      samples: Math.abs(samples),
    });
    // Between two pieces of 10 ms.
    expect(one.toS - one.fromS).toBeCloseTo(0.02, 9);
    expect(one.fromS).toBeLessThan(0.55);
    expect(one.toS).toBeGreaterThan(0.55);
  });

  it("are none where nothing slipped, or by no whole number of samples", () => {
    expect(told([])).toEqual([]);
    // Less than half a sample is noise, and 1.4 is what a part of the desk does.
    expect([0.4, 1.4, -1.4].map((samples) => told([{ atS: 0.55, samples }]))).toEqual([[], [], []]);
    expect(told([{ atS: 0.55, samples: 1.2 }])).toEqual([["repeated", 1]]);
    expect(told([{ atS: 0.55, samples: -1.2 }])).toEqual([["lost", 1]]);
  });

  it("are counted whole by the markers' clock where the phase has gone round", () => {
    // 16 samples are a period: the phase shows 3 of 19, and the markers lie 19 further apart.
    const by = (samples: number) => told([{ atS: 0.55, samples }], small + samples / endS);
    expect(by(19)).toEqual([["repeated", 19]]);
    expect(by(-19)).toEqual([["lost", 19]]);
    expect(by(35)).toEqual([["repeated", 35]]);
    // A clock that says otherwise is not believed: 3 by the phase.
    expect(told([{ atS: 0.55, samples: 3 }], small + 5)).toEqual([["repeated", 3]]);
  });

  it("are told one by one where there are several", () => {
    const slips = [
      { atS: 0.4, samples: 2 },
      { atS: 0.7, samples: -3 },
    ];
    expect(told(slips)).toEqual([
      ["repeated", 2],
      ["lost", 3],
    ]);
  });

  it("are told only of a tone that is left: 5 % of what comes back", () => {
    // Beside its third harmonic of 1, which is 0.707 r.m.s.; 5 % of it are 0.0354.
    const weak = (amplitude: number) => (s: number) => sine(3000, 1)(s) + sine(1000, amplitude)(s);
    const slips = [{ atS: 0.55, samples: 3 }];
    expect(told(slips, small, weak(0.03))).toEqual([]);
    expect(told(slips, small, weak(0.04))).toEqual([["repeated", 3]]);
  });

  it("are not looked for in a tone below 1 kHz, nor where the recording does not hold all of it", () => {
    const low = { ...toneAt(0.2, 0.7, sine(500)), frequencyHz: 500 } as Played;
    const slips = [{ atS: 0.55, samples: 3 }];
    const lower = smallReturn(inOrder(...markers(endS), low), { rate: small, slips });
    const find = (audio: ReturnAudio) =>
      findDropouts({ audio, tone: () => absent, sweep: () => absent } as never);
    expect(find(lower)).toEqual([]);
    const whole = smallReturn(inOrder(...markers(endS), toneAt(0.2, 0.7)), { rate: small, slips });
    expect(find(whole)).toHaveLength(1);
    expect(find({ ...whole, samples: whole.samples.subarray(0, 0.8 * small) })).toEqual([]);
  });
});

describe("a stretch that was held", () => {
  it("is told by the signal's time, and hides no jump elsewhere", () => {
    const silence = { kind: "silence", name: "silence", startS: 0.05, lengthS: 0.4 };
    const segments = inOrder(...markers(1.4), silence, toneAt(0.5, 0.8));
    const slips = [{ atS: 1.1, samples: 3 }];
    const audio = smallReturn(segments, { rate: small, slips, origin: 160, noise: 1e-4 });
    // 6 ms from 0.7 s on, 0.71 s from the beginning.
    const at = 160 + 0.7 * small;
    audio.samples.fill(audio.samples[at], at, at + 96);
    const found = findDropouts({ audio, tone: () => absent, sweep: () => absent } as never);
    expect(found).toEqual([
      {
        what: "held",
        samples: 96,
        fromS: expect.closeTo(0.7, 9),
        toS: expect.closeTo(0.706, 9),
      },
      expect.objectContaining({ what: "repeated", samples: 3 }),
    ]);
    // A block that comes again in the silence, 20 ms later, in the place of what was lost.
    const again = smallReturn(segments, { rate: small, origin: 160, noise: 1e-4 });
    const from = 160 + 0.3 * small;
    again.samples.copyWithin(from, from - 320, from);
    const [one, ...more] = findDropouts({
      audio: again,
      tone: () => absent,
      sweep: () => absent,
    } as never);
    expect(more).toEqual([]);
    expect(one).toMatchObject({ what: "repeated", samples: 320 });
    expect(one.fromS).toBeCloseTo(0.3, 9);
    expect(one.toS).toBeCloseTo(0.32, 9);
  });
});

describe("samples lost between two tones", () => {
  const endS = 1.5;
  const parts = [toneAt(0.1, 0.4), toneAt(0.9, 0.4, sine(1000), "tone-again")];

  /** @param clocked samples by which the markers lie further apart than by the player's clock */
  function between(
    samples: number,
    clocked = samples,
    { heard = parts, variance = 1e-12, atS = 0.7 } = {},
  ) {
    const clock = small + clocked / endS;
    const segments = inOrder(...markers(endS), ...heard);
    const slips = samples === 0 ? [] : [{ atS, samples }];
    const audio = smallReturn(segments, { rate: small, slips, clock });
    const tone = {
      frequencyHz: (1000 * clock) / small,
      residual: new Float64Array(0.3 * small),
      variances: [variance],
      amplitudes: [0.5],
    };
    return findDropouts({ audio, tone: () => tone, sweep: () => absent } as never);
  }
  /** The middles of both, from 60 ms after they begin to 15 ms before they end. */
  const [firstS, secondS] = [0.1, 0.9].map((startS) => startS + (0.06 + 0.385) / 2);

  it.each([2, 5, -3, -7, 18])("lie between the two: %i", (samples) => {
    const [one, ...more] = between(samples);
    expect(more).toEqual([]);
    expect(one).toMatchObject({
      what: samples < 0 ? "lost" : "repeated",
      samples: Math.abs(samples),
    });
    expect(one.fromS).toBeCloseTo(firstS, 3);
    expect(one.toS).toBeCloseTo(secondS, 3);
  });

  it("lie between the markers where no tone tells: a whole period, or before both", () => {
    const whole = { fromS: 0, toS: endS + 0.05 };
    expect(between(16)).toEqual([{ samples: 16, what: "repeated", ...whole }]);
    expect(between(3, 3, { heard: parts.slice(0, 1) })).toEqual([
      { samples: 3, what: "repeated", ...whole },
    ]);
    // One sample by the clock alone is too little to go by.
    expect(between(1, 1, { heard: parts.slice(0, 1) })).toEqual([]);
  });

  it("are none by a clock that is off by none, or by no whole number", () => {
    expect(between(0)).toEqual([]);
    expect(between(0, 0.5)).toEqual([]);
    expect(between(2.4)).toEqual([]);
    expect(between(2, 2.2)).toHaveLength(1);
  });

  it("are not believed up to 16 samples where the tones moved by something else", () => {
    // The clock says 5, and the second tone comes 2 later; of 21 none is feigned.
    expect(between(2, 5)).toEqual([]);
    expect(between(2, 21)).toEqual([{ samples: 21, what: "repeated", fromS: 0, toS: endS + 0.05 }]);
  });

  it("are none by a tone that is not known well enough", () => {
    // √(3·v)/(π·A·T) of 1.5 s at 16 kHz: a twelfth of a sample at v = (0.0833·π·0.5·0.3/24000)²/3.
    const limit = (((0.25 / 3) * Math.PI * 0.5 * 0.3) / (1.5 * small)) ** 2 / 3;
    const variance = (factor: number) => between(3, 3, { variance: factor * limit * 1e6 });
    // The bound is of cycles a second at 1 kHz, hence 10⁶ of relative variance.
    expect([variance(0.9).length, variance(1.1).length]).toEqual([1, 0]);
  });

  it("are none by a tone that did not keep its frequency", () => {
    // Its phase swings by 0.13 radians, once in the tone: the frequency of its thirds by 0.3 Hz.
    const wander = (s: number) =>
      0.5 * Math.sin(2 * Math.PI * (1000 * s + 0.02 * Math.sin((2 * Math.PI * s) / 0.4)));
    const [, second] = parts;
    expect(between(3, 3, { heard: [toneAt(0.1, 0.4, wander), second] })).toEqual([]);
  });
});
