import { describe, expect, it } from "vitest";
import type { AnalyzedStep } from "../../src/measure/level-step-analysis.js";
import { findOverloadLevel, type OverloadLevel } from "../../src/measure/overload-level.js";
import type { PathFilter } from "../../src/measure/path-filter.js";

// Expected: a curve without memory is a sum of Chebyshev polynomials; what a weaker tone gives comes from
// Fourier sums over a period. The parts of the uncertainty are those that the comments of
// overload-level.ts promise, worked out here for a curve with one bend.

/** Harmonic to its coefficient: negative where it is out of step with the tone. */
type Wave = Readonly<Record<number, number>>;
const count = 20;
const points = 64;
const lg = (ratio: number) => 20 * Math.log10(ratio);
const hypot = Math.hypot;

/** What a tone so many decibels weaker gives, of the curve's first harmonics alone. */
function weaker(wave: Wave, db: number, degree = count) {
  const ratio = 10 ** (-db / 20);
  const harmonics = new Float64Array(11);
  for (let k = 0; k < points; k++) {
    const theta = (2 * Math.PI * (k + 0.5)) / points;
    const angle = Math.acos(ratio * Math.cos(theta));
    let y = 0;
    for (const [n, c] of Object.entries(wave)) {
      if (Number(n) <= degree) y += c * Math.cos(Number(n) * angle);
    }
    for (let n = 1; n <= 10; n++) harmonics[n] += (2 / points) * y * Math.cos(n * theta);
  }
  return { tone: harmonics[1], thd: hypot(...harmonics.slice(2)) / harmonics[1] };
}

/** Decibels down to 1 %. */
function reachOf(wave: Wave, degree?: number): number {
  let [near, far] = [0, 6];
  for (let pass = 0; pass < 40; pass++) {
    const middle = (near + far) / 2;
    if (weaker(wave, middle, degree).thd >= 0.01) near = middle;
    else far = middle;
  }
  return near;
}

/** Decibels of distortion per decibel of level. */
const slopeAt = (wave: Wave, db: number) =>
  (lg(weaker(wave, db).thd) - lg(weaker(wave, db + 0.1).thd)) / 0.1;
const method = (wave: Wave) => 0.009 + 0.004 * reachOf(wave);

/** A step with these harmonics, and the variances of some. */
function step(aboveNominalDb: number, wave: Wave, variances: Wave = {}): AnalyzedStep {
  const of = (n: number) => wave[n + 1] ?? 0;
  return {
    aboveNominalDb,
    amplitudes: Float64Array.from({ length: count }, (_, n) => Math.abs(of(n))),
    phases: Float64Array.from({ length: count }, (_, n) => (of(n) < 0 ? Math.PI : 0)),
    variances: Float64Array.from({ length: count }, (_, n) => variances[n + 1] ?? 0),
    level: { amplitude: of(0), variance: 0 },
  };
}

interface Change {
  /** Factor on the distortion. */
  readonly thd?: number;
  /** Decibels more of everything. */
  readonly db?: number;
  readonly variances?: Wave;
}

/** The step so many decibels below the one at +12 dB, of the same curve but for a change. */
function lower(wave: Wave, apart: number, { thd = 1, db = 0, variances }: Change = {}) {
  const own = weaker(wave, apart);
  const tone = own.tone * 10 ** (db / 20);
  return step(12 - apart, { 1: tone, 3: -tone * own.thd * thd }, variances);
}

const find = (above: AnalyzedStep, below?: AnalyzedStep, beyond?: AnalyzedStep) =>
  findOverloadLevel({ above, below, beyond }, undefined) as OverloadLevel;
const close = (db: number, uncertainty: number) => ({
  db: expect.closeTo(db, 6),
  uncertainty: expect.closeTo(uncertainty, 6),
});
const between = (low: number, high: number) => ({
  db: (low + high) / 2,
  uncertainty: (high - low) / 2,
  hasMemory: true,
});

/** 1.43 % at +12 dB. */
const bent: Wave = { 1: 0.5, 3: -0.00715 };
const top = step(12, bent);
const reach = reachOf(bent);
const slope = slopeAt(bent, reach);

describe("the level at which a curve of one bend overloads", () => {
  it("is where its third harmonic is a hundredth, as sure as the method", () => {
    // Of A·T₁ − b·T₃ a tone r times as strong gives b·r³ and r·(A + 3b·(1 − r²)).
    const square = (0.01 * (0.5 + 3 * 0.00715)) / (1.03 * 0.00715);
    expect(reach).toBeCloseTo(-10 * Math.log10(square), 9);
    expect(find(top)).toEqual(close(12 - reach, method(bent)));
    expect(find(top, lower(bent, 3))).toEqual(close(12 - reach, method(bent)));
    // A step at nominal counts, one below it says nothing, whatever it is like.
    const low = step(3, bent);
    const wrong = { 1: 0.4, 3: -0.003 };
    expect(find(low, step(-0.1, wrong))).toEqual(close(3 - reach, method(bent)));
    expect(find(low, step(0, wrong))).toEqual(between(0, 3));
  });

  it("is the less sure the more noise is in the third harmonic", () => {
    // A² + 2v is read; its variance is 4·A²·v + 4·v²; two deviations of the power.
    for (const v of [1e-9, 1e-8]) {
      const power = 0.00715 ** 2 - 2 * v;
      const noiseDb = 10 * Math.log10(1 + (2 * Math.sqrt(4 * power * v + 4 * v * v)) / power);
      const found = find(step(12, bent, { 3: v }));
      expect(found).toEqual(close(12 - reach, hypot(method(bent), noiseDb / slope)));
    }
  });

  it("goes where the step below points, in proportion to the way", () => {
    for (const thd of [1.05, 0.95]) {
      const shift = -lg(thd) / slope;
      const found = find(top, lower(bent, 3, { thd }));
      expect(found).toEqual(
        close(12 - reach + (reach / 3) * shift, hypot(method(bent), 2 * shift)),
      );
    }
    const v = 1e-10;
    const below = lower(bent, 3, { variances: { 3: v } });
    const square = below.amplitudes[2] ** 2;
    const power = square - 2 * v;
    const missedDb = 10 * Math.log10(square / power);
    const noiseDb = 10 * Math.log10(1 + (2 * Math.sqrt(4 * power * v + 4 * v * v)) / power);
    const share = reach / 3;
    expect(find(top, below)).toEqual(
      close(
        12 - reach + (share * missedDb) / slope,
        hypot(method(bent), (2 * missedDb) / slope, (share * noiseDb) / slope),
      ),
    );
  });

  it("does not go there by a step far below the limit, or one in its noise", () => {
    // 6 % of 1e-4 are 0.245 % of the tone; the curve has 0.27 % so far below.
    const apart = reach + 5.7;
    const own = weaker(bent, apart);
    const of = (thd: number, v = 0) =>
      find(top, lower(bent, apart, { thd: thd / own.thd, variances: { 3: v * own.tone ** 2 } }));
    const alone = close(12 - reach, method(bent));
    expect(of(0.00244)).toEqual(alone);
    expect(of(0.00246).db).not.toBeCloseTo(12 - reach, 4);
    // 0.4 % with noise: P = 4·σ where v is P·0.0150; of 1.2 % there is more, of 1.8 % less.
    const shift = (share: number) => of(0.004, share * 0.004 ** 2).db - (12 - reach);
    expect(Math.abs(shift(0.012))).toBeGreaterThan(1e-3);
    expect(Math.abs(shift(0.018))).toBeLessThan(1e-6);
  });

  it("stays between the steps, but for what is unsure of them", () => {
    // 1 % just above the step below: 0.009 dB under it at most.
    const near = reach + 0.004;
    const low = find(top, lower(bent, near));
    const floor = 12 - near - 0.009;
    const high = 12 - reach + method(bent);
    expect(low).toEqual(close((floor + high) / 2, (high - floor) / 2));
    // With noise the distortion there is only known to two deviations, as a share of the limit's power.
    const v = 1e-8;
    const unsure = lower(bent, near, { variances: { 3: v } });
    const clear = unsure.amplitudes[2] ** 2 - 2 * v;
    const stdDev = Math.sqrt(4 * clear * v + 4 * v * v) / unsure.amplitudes[0] ** 2;
    const under = hypot(0.009, (10 * Math.log10(1 + (2 * stdDev) / 1e-4)) / slope);
    const found = find(step(12, bent, { 3: 1e-7 }), unsure);
    expect(found.db - found.uncertainty).toBeCloseTo(12 - near - under, 6);
    // 1.001 % at the step above: 0.009 dB over it at most, and what noise is in it,
    // however little the step below agrees.
    const least: Wave = { 1: 0.5, 3: -0.005005 };
    const most = (variances?: Wave) => {
      const { db, uncertainty } = find(step(12, least, variances), lower(least, 3, { thd: 0.9 }));
      return db + uncertainty - 12;
    };
    expect(most()).toBeCloseTo(0.009, 9);
    const power = 0.005005 ** 2 - 2e-8;
    const noiseDb = 10 * Math.log10(1 + (2 * Math.sqrt(4 * power * 1e-8 + 4e-16)) / power);
    expect(most({ 3: 1e-8 })).toBeCloseTo(
      hypot(0.009, noiseDb / slopeAt(least, reachOf(least))),
      6,
    );
  });

  it("is only known to lie between them where noise leaves more than that open", () => {
    // A deviation as large as the power: 4.8 dB, 2.4 dB of level either way.
    const v = 0.00715 ** 2 / 5;
    expect(find(step(12, bent, { 3: v }), lower(bent, 3))).toEqual(between(9, 12));
  });

  it("is brought up where the wave reaches further down than the step below", () => {
    // The step below has 0.98 % where the curve has more: the whole of its error counts.
    const apart = reach - 0.05;
    const own = weaker(bent, apart).thd;
    const missedDb = lg(own / 0.0098);
    const below = lower(bent, apart, { thd: 0.0098 / own });
    const found = find(top, below);
    const at = 12 - reach + missedDb / slope;
    const uncertainty = hypot(method(bent), (2 * missedDb) / slope);
    const low = Math.max(12 - apart - 0.009, at - uncertainty);
    expect(found).toEqual(close((low + at + uncertainty) / 2, (at + uncertainty - low) / 2));
  });
});

describe("two steps that are not of one curve", () => {
  const own = find(top, lower(bent, 3));
  const withMemory = (found: OverloadLevel) =>
    Math.sqrt(found.uncertainty ** 2 - own.uncertainty ** 2);

  it("may differ in gain by 0.03 dB, and go on so four times as fast", () => {
    for (const db of [0.029, -0.029]) expect(find(top, lower(bent, 3, { db }))).toEqual(own);
    for (const db of [0.031, -0.05, 0.07]) {
      const found = find(top, lower(bent, 3, { db }));
      expect(found.db).toBeCloseTo(12 - reach, 6);
      expect(withMemory(found)).toBeCloseTo(((4 * Math.abs(db)) / 3) * reach, 6);
    }
    // More than 0.15 dB of it is too much: the level lies between the steps.
    expect(((4 * 0.08) / 3) * reach).toBeGreaterThan(0.15);
    expect(find(top, lower(bent, 3, { db: 0.08 }))).toEqual(between(9, 12));
  });

  it("may differ by two deviations of the tone's noise besides", () => {
    // 0.03 dB: two deviations of 0.17 % of the tone.
    const tone = weaker(bent, 3).tone;
    const variances = { 1: (((10 ** (0.03 / 20) - 1) / 2) * tone) ** 2 };
    const at = (db: number) => withMemory(find(top, lower(bent, 3, { db, variances })));
    expect(at(0.059)).toBeLessThan(1e-4);
    expect(at(0.061)).toBeCloseTo(((4 * 0.061) / 3) * reach, 4);
  });

  /** Of steps so far apart with this distortion below, and its noise. */
  function distorted(wave: Wave, apart: number, thd: number, variance = 0) {
    const foreseen = weaker(wave, apart);
    const variances = { 3: variance * foreseen.tone ** 2 };
    const below = lower(wave, apart, { thd: thd / foreseen.thd, variances });
    const level = wave === bent ? 12 : 15;
    const found = find(
      { ...step(12, wave), aboveNominalDb: level },
      { ...below, aboveNominalDb: level - apart },
    );
    return Math.sqrt(Math.max(0, found.uncertainty ** 2 - method(wave) ** 2));
  }

  it("may differ in distortion by 0.15 % of the tone and half a decibel", () => {
    // 1.12 % at the top, 0.48 dB above the limit.
    const slight: Wave = { 1: 0.5, 3: -0.0056 };
    const far = reachOf(slight);
    const half = 10 ** (0.5 / 20) - 1;
    const memory = (apart: number, larger: number, off: number) =>
      ((4 * lg(larger / (larger - off))) / slopeAt(slight, apart) / apart) * far;
    // Less below than foreseen: 0.24 % (too little to correct by) instead of 0.43 % and less.
    const offs = [4.15, 4.18, 4.22, 4.4].map((apart) => {
      const { thd } = weaker(slight, apart);
      const off = thd - 0.0024 - 0.0015 - half * thd;
      const expected = off > 0 ? memory(apart, thd, off) : 0;
      expect(distorted(slight, apart, 0.0024)).toBeCloseTo(expected, 5);
      return off > 0;
    });
    expect(new Set(offs).size).toBe(2);
    // More: 0.24 % instead of 0.06 %.
    const little = weaker(slight, 12.7).thd;
    const more = 0.0024 - little - 0.0015 - half * 0.0024;
    expect(more).toBeGreaterThan(1e-5);
    expect(distorted(slight, 12.7, 0.0024)).toBeCloseTo(memory(12.7, 0.0024, more), 5);
    expect(distorted(slight, 12.7, 0.0024 - more / (1 - half) - 1e-6)).toBeLessThan(1e-4);
  });

  it("may differ by their noise besides", () => {
    const slight: Wave = { 1: 0.5, 3: -0.0056 };
    const { thd } = weaker(slight, 4.15);
    const half = 10 ** (0.5 / 20) - 1;
    const far = reachOf(slight);
    const memory = (off: number) =>
      off <= 0 ? 0 : ((4 * lg(thd / (thd - off))) / slopeAt(slight, 4.15) / 4.15) * far;
    // A power of P with a deviation of σ: 2σ of the power are 2σ/√P of the voltage.
    for (const share of [1e-5, 1e-4]) {
      const v = share * 0.0024 ** 2;
      const power = 0.0024 ** 2 - 2 * v;
      const stdDev = Math.sqrt(4 * power * v + 4 * v * v);
      const heard = Math.sqrt(power);
      const off = thd - heard - 0.0015 - half * thd - (2 * stdDev) / heard;
      expect(distorted(slight, 4.15, 0.0024, v)).toBeCloseTo(memory(off), 5);
    }
    // None heard: √(2σ), where σ is 2v. 0.27 % are wanted; 2·√v.
    const wanted = thd - 0.0015 - half * thd;
    const of = (part: number) => distorted(slight, 4.15, 0, ((part * wanted) / 2) ** 2);
    expect(of(1.01)).toBeLessThan(1e-4);
    expect(of(0.96)).toBeCloseTo(memory(0.04 * wanted), 5);
  });
});

describe("a step beyond that foresees the one above", () => {
  // 3.4 % at +15 dB.
  const wave: Wave = { 1: 0.7, 3: -0.024 };
  const beyond = { ...step(15, wave), aboveNominalDb: 15 };
  const own = weaker(wave, 3);
  const made = (factor: number): Wave => ({ 1: own.tone, 3: -own.tone * own.thd * factor });

  it("makes the level less sure by twice what it misses", () => {
    for (const factor of [0.998, 1.01]) {
      const above = made(factor);
      const down = reachOf(above);
      const missed = (2 * Math.abs(lg(factor))) / slopeAt(above, down);
      const found = find(step(12, above), undefined, beyond);
      expect(found).toEqual(close(12 - down, hypot(method(above), missed)));
    }
  });

  it("says nothing of it where what it misses may go on ten times as fast", () => {
    // 1 % too little is 0.087 dB, 0.044 dB of level: ten times that a third of the reach further down.
    const above = made(0.99);
    const drift = ((10 * -lg(0.99)) / slopeAt(above, 0)) * (reachOf(above) / 3);
    expect(drift).toBeGreaterThan(0.15);
    const alone = { above: step(12, above), below: undefined, beyond };
    expect(findOverloadLevel(alone, undefined)).toEqual({ belowDb: 12 });
    expect(find(step(12, above), lower(above, 3), beyond)).toEqual(between(9, 12));
    // Noise of 0.06 dB accounts for most of it.
    const b = above[3];
    const noisy = step(12, above, { 3: ((0.0139 / 4) * b) ** 2 });
    expect(findOverloadLevel({ ...alone, above: noisy }, undefined)).not.toHaveProperty("belowDb");
  });
});

describe("a wave with harmonics up to 20 kHz", () => {
  // The fifteenth and the seventeenth: of 16 harmonics one is left, of 14 none.
  const sharp: Wave = { 1: 0.5, 3: -0.008, 15: 2e-4, 17: -3e-4 };
  const whole = reachOf(sharp);
  const some = whole - reachOf(sharp, 16);
  const few = whole - reachOf(sharp, 14);
  const blunt = hypot(0.6 * some, 0.35 * few);
  const level = 12 - whole - 0.25 * some - 0.2 * few;

  it("reaches further back by a share of what fewer of them make", () => {
    expect(Math.min(Math.abs(some), Math.abs(few))).toBeGreaterThan(1e-3);
    expect(find(step(12, sharp))).toEqual(close(level, hypot(method(sharp), blunt)));
  });

  it("is not corrected by its neighbours where that is more than the method's doubt", () => {
    expect(blunt).toBeGreaterThan(method(sharp));
    const own = weaker(sharp, 4);
    const below = step(8, { 1: own.tone, 3: -own.tone * own.thd * 0.95 });
    expect(find(step(12, sharp), below)).toEqual(close(level, hypot(method(sharp), blunt)));
  });

  it("lies between the steps where the level found is below the lower one", () => {
    const own = weaker(sharp, whole - 0.3);
    const below = step(12.3 - whole, { 1: own.tone, 3: -own.tone * 0.0094 });
    expect(find(step(12, sharp), below)).toEqual({
      db: expect.closeTo((24.3 - whole) / 2, 9),
      uncertainty: expect.closeTo((whole - 0.3) / 2, 9),
      hasMemory: true,
    });
  });
});

describe("harmonics that a known filter does not put in phase", () => {
  // A filter that turns the third harmonic alone stands behind the bend, as that is turned.
  const filter = (variances: Wave = {}): PathFilter => ({
    logGains: new Float64Array(count),
    phases: Float64Array.from({ length: count }, (_, n) => (n === 2 ? 0.5 : 0)),
    variances: Float64Array.from({ length: count }, (_, n) => variances[n + 1] ?? 0),
  });
  const power = 0.00715 ** 2;
  /** The second harmonic is out of phase by a quarter turn, with this share of the power. */
  function turned(share: number, variances: Wave = {}): AnalyzedStep {
    const wave = { ...bent, 2: Math.sqrt((power * share) / (1 - share)) };
    const found = step(12, wave, variances);
    found.phases[1] = Math.PI / 2;
    found.phases[2] += 0.5;
    return found;
  }
  const isTurned = (share: number, variances?: Wave, ofFilter?: Wave) => {
    const steps = { above: turned(share, variances), below: undefined, beyond: undefined };
    const found = findOverloadLevel(steps, filter(ofFilter));
    return "belowDb" in found && found.belowDb === 12;
  };

  it("are what a path without memory has 5e-5 of at most", () => {
    expect([isTurned(4.9e-5), isTurned(5.1e-5)]).toEqual([false, true]);
  });

  it.each([
    // Four deviations of each part's own, over the power of all harmonics: 4·v/P is 1e-4.
    ["a harmonic's noise", { 3: 0.25e-4 * power }, {}],
    ["the tenth's", { 10: 0.25e-4 * power }, {}],
    // The tone's phase turns the third harmonic three times as far: 4·9·v/A².
    ["the tone's", { 1: (1e-4 / 36) * 0.25 }, {}],
    ["that of the filter's phase at the harmonic", {}, { 3: 0.25e-4 }],
    ["that of the filter's phase at the tone", {}, { 1: 1e-4 / 36 }],
  ])("may be more by %s", (_, variances, ofFilter) => {
    expect(isTurned(1.49e-4, variances, ofFilter)).toBe(false);
    expect(isTurned(1.51e-4, variances, ofFilter)).toBe(true);
  });

  it("are not excused by noise above the tenth", () => {
    expect(isTurned(1e-4, { 11: 1e-3, 12: 1e-3 })).toBe(true);
    expect(isTurned(1e-4, {}, { 11: 1, 12: 1 })).toBe(true);
  });

  it("make the level unsure by half of what the filter's place may change", () => {
    // Before the bend it would leave the third harmonic turned: its cosine alone would be of the curve.
    const before: Wave = { 1: 0.5, 3: -0.00715 * Math.cos(0.5) };
    const found = findOverloadLevel(
      { above: turned(0), below: undefined, beyond: undefined },
      filter(),
    );
    const apart = reach - reachOf(before);
    expect(found).toEqual(close(12 - reach, hypot(method(bent), 0.5 * apart)));
  });
});
