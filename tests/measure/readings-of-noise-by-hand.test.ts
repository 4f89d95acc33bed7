import { describe, expect, it } from "vitest";
import { computeStudentShare } from "../../src/dsp/student.js";
import { burstiness } from "../../src/measure/readings/burstiness.js";
import { dc } from "../../src/measure/readings/dc.js";
import { instability, instability100 } from "../../src/measure/readings/instability.js";
import type { Reading } from "../../src/measure/types.js";
import { makeSamples } from "../helpers/samples.js";

// Expected: closed forms of residuals and silences that are written down sample by sample.

const perNeper = 20 / Math.LN10;
const absent = { absent: { code: "converter-clipped" } } as const;

describe("a tone whose level is given piece by piece", () => {
  const clock = 8000;
  const pieceS = 0.02;
  const size = pieceS * clock;
  const noise = 1e-8;
  const segments = 10;
  /** A median is a third of a segment's share below the mean. */
  const flat = (density: number) => ({
    density: new Float64Array(401).fill(density * (1 - 1 / (3 * segments))),
    stepHz: 10,
    segments,
  });

  interface Given {
    readonly amplitude?: number;
    readonly density?: number;
    readonly quiet?: object;
    /** In quadrature to the tone. */
    readonly across?: number;
    readonly rest?: object;
  }

  /** What is beside a tone of such an amplitude, as shares of it: in phase `share`. */
  function read(count: number, share: (n: number) => number, given: Given = {}): Reading {
    const { amplitude = 0.5, density = noise, quiet = absent, across = 0 } = given;
    const length = count * size;
    const phase = 0.7;
    const middle = (length - 1) / 2;
    const residual = makeSamples(length, (n) => {
      const angle = (2 * Math.PI * 1000 * (n - middle)) / clock + phase;
      return amplitude * (share(n) * Math.cos(angle) + across * Math.sin(angle));
    });
    const tone = {
      residual,
      frequencyHz: 1000,
      amplitudes: [amplitude],
      phases: [phase],
      rest: given.rest ?? flat(density),
    };
    return instability.read({
      tone: () => tone,
      quiet: () => quiet,
      audio: { clock, mainsHz: 50 },
    } as never) as Reading;
  }
  const pieces = (shares: readonly number[], given?: Given) =>
    read(shares.length, (n) => shares[Math.floor(n / size)], given);

  /** Variance of nepers, n − 1. */
  function variance(shares: readonly number[]) {
    const nepers = shares.map((share) => Math.log(Math.max(1e-3, 1 + share)));
    const mean = nepers.reduce((sum, y) => sum + y, 0) / nepers.length;
    return nepers.reduce((sum, y) => sum + (y - mean) ** 2, 0) / (nepers.length - 1);
  }
  /** Of an amplitude of a half over 20 ms. */
  const own = noise / pieceS / 0.25;

  it("scatters by its decibels, the noise's share taken off", () => {
    const shares = [0.1, -0.1, 0.05, 0.2, -0.3, 0, 0, 0.1];
    const power = variance(shares) - own;
    const stdDev = Math.sqrt((4 * power * own + 2 * own ** 2) / 7 + (0.05 * own) ** 2);
    const found = pieces(shares);
    expect(found).toEqual({
      value: expect.closeTo(perNeper * Math.sqrt(power), 5),
      unit: "dB",
      uncertainty: expect.closeTo(Math.hypot(2e-5, (perNeper * stdDev) / Math.sqrt(power)), 5),
    });
    // 400 times the noise's density, of twice the amplitude: a hundred times its share.
    const more = pieces(shares, { density: 4e-6, amplitude: 1 });
    const louder = 4e-6 / pieceS;
    expect(more.value).toBeCloseTo(perNeper * Math.sqrt(variance(shares) - louder), 3);
  });

  it("counts a piece that is gone as 60 dB", () => {
    const shares = [0, 0, 0, -1, 0, 0];
    expect(pieces(shares).value).toBeCloseTo(perNeper * Math.sqrt(variance(shares)), 3);
    // A sixth of the pieces at ln 10⁻³.
    expect(variance(shares)).toBeCloseTo(Math.log(1000) ** 2 / 6, 9);
  });

  it("has the level of its middle where a piece rises or falls, and none across its phase", () => {
    // Each piece from −0.05 to 0.05 about the given: the mean is what counts.
    const shares = [0.1, -0.1, 0.2, -0.2, 0, 0.1];
    const sloping = read(
      6,
      (n) => shares[Math.floor(n / size)] + 0.1 * (((n % size) + 0.5) / size - 0.5),
    );
    expect(sloping.value).toBeCloseTo(perNeper * Math.sqrt(variance(shares)), 3);
    expect(pieces(shares, { across: 0.3 }).value).toBeCloseTo(pieces(shares).value, 3);
  });

  it("is the less sure where the level jumps within a piece", () => {
    // A jump of h in the middle leaves h²·(¼ − 3/16) of a straight line, from which its height is taken
    // as 15 times that; over 2·2π·20 cycles at any phase: 2·|y − mean|·h/(4π·20)/(n − 1) of power.
    const [h, level] = [0.2, 0.4];
    const at = (n: number) => {
      const piece = Math.floor(n / size);
      if (piece !== 3) return piece % 2 === 0 ? 0.1 : 0;
      return level + (n % size < size / 2 ? -h / 2 : h / 2);
    };
    const found = read(8, at, { density: 1e-14 });
    const shares = [0.1, 0, 0.1, level, 0.1, 0, 0.1, 0];
    const nepers = shares.map((share) => Math.log1p(share));
    const mean = nepers.reduce((sum, y) => sum + y, 0) / 8;
    const height = Math.sqrt(15 / 16) * h;
    const jumps = (2 * Math.abs(nepers[3] - mean) * height) / (4 * Math.PI * 20) / 7;
    const power = variance(shares);
    expect(found.value).toBeCloseTo(perNeper * Math.sqrt(power), 2);
    const expected = (perNeper * jumps) / Math.sqrt(power);
    expect(found.uncertainty / expected).toBeGreaterThan(0.97);
    expect(found.uncertainty / expected).toBeLessThan(1.03);
    // Without a jump next to nothing is unsure.
    expect(pieces(shares, { density: 1e-14 }).uncertainty).toBeLessThan(1e-4);
  });

  it("is a bound below three deviations, of what is left and two of them", () => {
    const still = pieces([0, 0, 0, 0, 0, 0, 0, 0, 0]);
    const stdDev = own * Math.sqrt(2 / 8 + 0.05 ** 2);
    const bound = perNeper * Math.sqrt(2 * stdDev);
    expect(still).toEqual({
      value: expect.closeTo(bound, 9),
      unit: "dB",
      uncertainty: expect.closeTo(bound / 2, 9),
      limitedBy: "noise",
      bound: "upper",
    });
    // No less than 2e-5 dB where there is no noise at all.
    expect(pieces([0, 0, 0, 0, 0], { density: 0 })).toMatchObject({ value: 2e-5, bound: "upper" });
    // A scatter p of nine pieces: p against 3·√((4·p·noise + 2·noise²)/8 + …): 5.7 of the noise.
    const of = (times: number) => {
      const x = Math.sqrt(((times + 1) * own * 8) / 2) / 1;
      return pieces([x, -x, 0, 0, 0, 0, 0, 0, 0].map((share) => share));
    };
    const clear = (p: number) => p - 3 * Math.sqrt((4 * p + 2) / 8 + 0.05 ** 2);
    let [low, high] = [1, 20];
    for (let k = 0; k < 40; k++) {
      const middle = (low + high) / 2;
      if (clear(middle) > 0) high = middle;
      else low = middle;
    }
    expect(of(0.97 * low)).toMatchObject({ bound: "upper" });
    expect(of(1.03 * low)).not.toHaveProperty("bound");
  });

  it("takes the noise 60 to 260 Hz beside the tone, and no more than the silence has", () => {
    const steady = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    const plain = pieces(steady).value;
    const beside = (from: number, to: number) => {
      const rest = flat(noise);
      rest.density.forEach((_, k) => {
        const away = Math.abs(10 * k - 1000);
        if (!(away >= from && away <= to)) rest.density[k] = 1;
      });
      return pieces(steady, { rest }).value;
    };
    expect(beside(60, 260)).toBeCloseTo(plain, 9);
    // 42 bins are asked: the median of them is one of the others where less than half are left.
    expect(beside(60, 150)).toBeGreaterThan(100 * plain);
    expect(beside(170, 260)).toBeGreaterThan(100 * plain);
    const silence = (density: number, more: object = {}) => ({
      spectrum: { density: new Float64Array(401).fill(density), stepHz: 10, segments },
      lines: undefined,
      hidden: undefined,
      ...more,
    });
    // A quarter of the density is half the bound.
    const quieter = pieces(steady, { quiet: silence(noise / 4) }).value;
    expect(quieter / plain).toBeCloseTo(0.5, 9);
    expect(pieces(steady, { quiet: silence(4 * noise) }).value).toBeCloseTo(plain, 9);
  });

  it("is the less sure by lines of the mains, seen or hidden, that reach its pieces", () => {
    const steady = [0, 0, 0, 0, 0, 0, 0, 0, 0];
    const spectrum = { density: new Float64Array(401).fill(noise), stepHz: 10, segments };
    // A line at 500 Hz is 10 cycles of a piece away: (½/(π·10)²)/2 of its power.
    const power = 1e-2;
    const reached = (power * 0.5) / (Math.PI * 10) ** 2 / 2 / 0.25;
    const stdDev = Math.hypot(own * Math.sqrt(2 / 8 + 0.05 ** 2), reached);
    const expected = perNeper * Math.sqrt(2 * stdDev);
    const lines = {
      frequencyHz: 500,
      deviationHz: 0,
      amplitudes: [Math.sqrt(power)],
      variances: [0],
      higher: [],
    };
    const hidden = (counts: (order: number) => boolean) => (counts(10) ? power : 0);
    const seen = pieces(steady, { quiet: { spectrum, lines, hidden: undefined } });
    expect(seen.value).toBeCloseTo(expected, 9);
    const unseen = pieces(steady, { quiet: { spectrum, lines: undefined, hidden } });
    expect(unseen.value).toBeCloseTo(expected, 9);
    // Where lines are seen, none is looked for among the hidden.
    const both = pieces(steady, { quiet: { spectrum, lines, hidden: () => 1 } });
    expect(both.value).toBeCloseTo(expected, 9);
  });

  it("is absent where the tone is", () => {
    for (const kind of [instability, instability100]) {
      expect(kind.read({ tone: () => absent } as never)).toEqual(absent);
    }
  });
});

describe("the mean of a silence", () => {
  const sampleRate = 6400;
  /** Whole cycles 1 to 12 over 2 s, with these powers of a density. */
  const silence = (power: (cycle: number) => number, scale = 1e-4) => {
    const length = 2 * sampleRate;
    return makeSamples(length, (n) => {
      let sum = 0;
      for (let k = 1; k <= 12; k++) {
        sum += Math.sqrt(power(k)) * Math.cos((2 * Math.PI * k * n) / length + k);
      }
      return scale * sum;
    });
  };
  const read = (hiss: Float64Array, offset = 0) =>
    dc.read({ quiet: () => ({ hiss, offset }), audio: { sampleRate } } as never) as Reading;

  /**
   * By the definition: slopes 0 to 1.4 of a density a·(fT)^−α, half beforehand on 0; each as likely as
   * Π k^α/(Σ P·k^α)^12, and the mean a Student t of 24 degrees with ∫ S·sinc²(fT) df of variance, S held
   * below 0.1 Hz. The integral here is a sum of hundredths of a cycle up to 60.
   */
  function expected(power: (cycle: number) => number, scale = 1e-4) {
    const seconds = 2;
    const densities = Array.from(
      { length: 12 },
      (_, k) => (scale ** 2 / 2) * power(k + 1) * seconds,
    );
    const rows = Array.from({ length: 15 }, (_, s) => {
      const slope = s / 10;
      const level = densities.reduce((sum, p, k) => sum + p * (k + 1) ** slope, 0) / 12;
      const logs = densities.reduce((sum, _p, k) => sum + Math.log(k + 1), 0);
      const likely = (s === 0 ? 0.5 : 0.5 / 14) * Math.exp(slope * logs) * (level / 1e-8) ** -12;
      let share = 0;
      for (let x = 0.005; x < 60; x += 0.01) {
        const sinc = Math.sin(Math.PI * x) / (Math.PI * x);
        share += 0.01 * Math.max(x, 0.1 * seconds) ** -slope * sinc * sinc;
      }
      return { likely, scale: Math.sqrt((level * share) / seconds) };
    });
    const all = rows.reduce((sum, { likely }) => sum + likely, 0);
    let [near, far] = [0, 100 * scale];
    for (let k = 0; k < 50; k++) {
      const middle = (near + far) / 2;
      const within = rows.reduce(
        (sum, row) => sum + (row.likely / all) * computeStudentShare(middle / row.scale, 24),
        0,
      );
      if (within < 0.95) near = middle;
      else far = middle;
    }
    return 100 * far;
  }

  it.each([
    ["white noise", () => 1],
    ["noise that falls with frequency", (k: number) => 1 / k],
    ["noise that falls by more", (k: number) => k ** -1.4],
    ["noise that rises", (k: number) => k],
  ])("is known as far as %s lets it", (_, power) => {
    const { uncertainty } = read(silence(power));
    expect(uncertainty / expected(power)).toBeGreaterThan(0.98);
    expect(uncertainty / expected(power)).toBeLessThan(1.02);
  });

  it("goes with the noise, and is a per cent of full scale", () => {
    const one = read(
      silence(() => 1),
      -0.03,
    );
    expect(one).toMatchObject({ value: -3, unit: "%" });
    expect(read(silence(() => 1, 1e-3)).uncertainty / one.uncertainty).toBeCloseTo(10, 6);
    expect(read(new Float64Array(12_800), 0.01)).toEqual({ value: 1, unit: "%", uncertainty: 0 });
    expect(dc.read({ quiet: () => absent } as never)).toEqual(absent);
  });
});

describe("the kurtosis of a silence", () => {
  it("is absent without noise, and limited by the interface where its words make half of it", () => {
    const spectrum = { density: new Float64Array(1001), stepHz: 24, segments: 10 };
    const quiet = { hiss: new Float64Array(48_000), spectrum, step: undefined };
    const of = (given: object) =>
      burstiness.read({ quiet: () => given, audio: { sampleRate: 48_000 } } as never) as Reading;
    expect(of(quiet)).toEqual({ absent: { code: "digital-zero", of: "silence" } });
    expect(of(absent)).toEqual(absent);
    const density = 1e-9;
    const loud = { ...spectrum, density: spectrum.density.map(() => density) };
    // Dither of a step s has s²/4 in 24 kHz.
    const step = (share: number) => Math.sqrt(4 * share * density * 24_000);
    const by = (share: number) => of({ ...quiet, spectrum: loud, step: step(share) }).limitedBy;
    expect([by(0.49), by(0.51)]).toEqual([undefined, "interface"]);
    // Of nothing but zeros the kurtosis is taken for Gaussian.
    expect(of({ ...quiet, spectrum: loud }).value).toBe(0);
  });
});

describe("the kurtosis of tones, by closed forms", () => {
  const lg = (power: number) => 10 * Math.log10(power);
  interface Given {
    readonly rate?: number;
    readonly seconds?: number;
    readonly density?: (hz: number) => number;
  }
  function of(at: (seconds: number) => number, given: Given = {}) {
    const { rate = 16_000, seconds = 1, density = () => 1e-9 } = given;
    const stepHz = 10;
    const spectrum = {
      density: makeSamples(rate / 2 / stepHz + 1, (k) => density(k * stepHz)),
      stepHz,
      segments: 10,
    };
    const hiss = makeSamples(rate * seconds, (n) => at(n / rate));
    const quiet = { hiss, spectrum, step: undefined };
    return burstiness.read({
      quiet: () => quiet,
      audio: { sampleRate: rate },
    } as never) as Reading;
  }
  const sine =
    (hz: number, amplitude = 1) =>
    (s: number) =>
      amplitude * Math.sin(2 * Math.PI * hz * s);
  /** Of independent samples √(24/n), over all n; what the filter needs at the ends is not among them. */
  const chance = (count: number, kurtosis: number, together = 1) =>
    lg(1 + (1.96 * Math.sqrt((24 * together) / count)) / kurtosis);

  it("of one is half of Gaussian noise's, as sure as so many samples let it be", () => {
    const found = of(sine(2000));
    expect(found).toMatchObject({ value: expect.closeTo(lg(1.5 / 3), 2), unit: "dB" });
    expect(found.uncertainty / chance(16_000, 1.5)).toBeGreaterThan(0.99);
    expect(found.uncertainty / chance(16_000, 1.5)).toBeLessThan(1.03);
    // Of a band to 20 kHz at 96 kHz the samples depend on each other: Σ sinc⁴ is (2/3)·96/40 = 1.6.
    const fast = of(sine(2000), { rate: 96_000, seconds: 0.25 });
    expect(fast.uncertainty / chance(24_000, 1.5, 1.6)).toBeGreaterThan(0.99);
    expect(fast.uncertainty / chance(24_000, 1.5, 1.6)).toBeLessThan(1.03);
  });

  it("leaves out what lies below 500 Hz or near half the rate", () => {
    // 0.45 of 16 kHz are 7200 Hz.
    for (const hz of [100, 7700]) {
      const found = of((s) => sine(2000)(s) + sine(hz, 2)(s));
      expect(found.value, `${hz} Hz`).toBeCloseTo(lg(1.5 / 3), 1);
    }
  });

  it("of two is taken as if the spectrum were flat", () => {
    // Of two as strong ¾ + 3/2 over 1; the second is ten times as high, as the density about it is a
    // hundred times.
    const density = (hz: number) => (hz > 4000 ? 1e-7 : 1e-9);
    const found = of((s) => sine(2000)(s) + sine(6130, 10)(s), { density });
    expect(found.value).toBeCloseTo(lg(2.25 / 3), 1);
  });

  it("of one that grows is that of all of it, as sure as leaving out each part shows", () => {
    // Ten parts of an amplitude of 1, and ten of 2: squares of ½ and 2, fourth powers of 3/8 and 6.
    const found = of((s) => sine(2000, s < 0.5 ? 1 : 2)(s), { seconds: 1 });
    const parts = Array.from({ length: 20 }, (_, k) => (k < 10 ? [0.5, 0.375] : [2, 6]));
    const kurtosis = (some: typeof parts) => {
      const [two, four] = [0, 1].map((i) => some.reduce((sum, one) => sum + one[i], 0));
      return (four * some.length) / two ** 2;
    };
    const all = kurtosis(parts);
    expect(all).toBeCloseTo(1.5 * (8.5 / 6.25), 12);
    expect(found.value).toBeCloseTo(lg(all / 3), 1);
    const squares = parts.reduce(
      (sum, _, k) => sum + (kurtosis(parts.filter((_one, i) => i !== k)) - all) ** 2,
      0,
    );
    // Student's 95 % of 19 degrees of freedom (table): 2.093.
    const expected = lg(1 + (2.093 * Math.sqrt((squares * 19) / 20)) / all);
    expect(found.uncertainty / expected).toBeGreaterThan(0.97);
    expect(found.uncertainty / expected).toBeLessThan(1.03);
  });
});
