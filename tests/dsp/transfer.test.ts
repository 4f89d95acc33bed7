import { describe, expect, it } from "vitest";
import {
  computeDistortionPower,
  computeExcursions,
  computeWeakerTone,
  fitFilteredCurve,
  fitTransferCurve,
} from "../../src/dsp/transfer.js";

/** Harmonics 1 … 20 of y(a·cos θ) by numerical integration over a period. */
function harmonicsOf(y: (x: number) => number, a: number) {
  const points = 4096;
  const cosines = new Float64Array(20);
  for (let i = 0; i < points; i++) {
    const theta = (2 * Math.PI * i) / points;
    const value = y(a * Math.cos(theta));
    for (let n = 1; n <= 20; n++) cosines[n - 1] += (2 / points) * value * Math.cos(n * theta);
  }
  return {
    amplitudes: cosines.map(Math.abs),
    phases: cosines.map((c) => (c < 0 ? Math.PI : 0)),
  };
}

describe("transferOf", () => {
  it("tells what a weaker tone gives through a cubic curve, harmonics in closed form", () => {
    // y = x + b·x² + c·x³ of r·cos θ: fundamental r + ¾c·r³, second b·r²/2, third c·r³/4
    const b = 0.02;
    const c = -0.05;
    const { amplitudes, phases } = harmonicsOf((x) => x + b * x * x + c * x ** 3, 1);
    const transfer = fitTransferCurve(amplitudes, phases);
    for (const r of [1, 0.7, 0.1]) {
      const power = ((b * r * r) / 2) ** 2 + ((c * r ** 3) / 4) ** 2;
      const expected = power / (r + 0.75 * c * r ** 3) ** 2;
      expect(computeDistortionPower(transfer, r, 10) / expected).toBeCloseTo(1, 6);
    }
  });

  it("is not misled by a delay or a reversed polarity", () => {
    const { amplitudes, phases } = harmonicsOf((x) => Math.min(0.8, x), 1);
    const plain = fitTransferCurve(amplitudes, phases);
    const turned = fitTransferCurve(
      amplitudes,
      phases.map((p, k) => p + (k + 1) * 2.1),
    );
    const upside = fitTransferCurve(
      amplitudes,
      phases.map((p, k) => p + (k + 1) * 2.1 + Math.PI),
    );
    const expected = computeDistortionPower(plain, 0.9, 10);
    expect(computeDistortionPower(turned, 0.9, 10) / expected).toBeCloseTo(1, 6);
    expect(computeDistortionPower(upside, 0.9, 10) / expected).toBeCloseTo(1, 6);
    expect(computeExcursions(plain).positive).toBeLessThan(computeExcursions(plain).negative);
    expect(computeExcursions(upside).positive).toBeGreaterThan(computeExcursions(upside).negative);
  });

  it("gives the excursions of a tone whose crest is cut, less its mean", () => {
    // numerical integration: mean of min(0.8, cos θ)
    const y = (x: number) => Math.min(0.8, x);
    const points = 4096;
    let mean = 0;
    for (let i = 0; i < points; i++) mean += y(Math.cos((2 * Math.PI * i) / points)) / points;
    const { amplitudes, phases } = harmonicsOf(y, 1);
    const { positive, negative } = computeExcursions(fitTransferCurve(amplitudes, phases));
    // twenty harmonics draw the corner within a hundredth
    expect(Math.abs(positive - (0.8 - mean))).toBeLessThan(0.01);
    expect(Math.abs(negative - (1 + mean))).toBeLessThan(0.01);
  });
});

describe("fitFilteredCurve", () => {
  // y = x + b·x² + c·x³ with first-order low-passes before and behind; harmonics in closed form
  const b = 0.02;
  const c = -0.05;
  const turnOf = (n: number, corner: number) => -Math.atan(n / corner);
  const logOf = (n: number, corner: number) => -0.5 * Math.log1p((n / corner) ** 2);
  const orders = [1, 2, 3, 4];
  /** Corners as multiples of the tone. */
  function wave(before: number, behind: number, memory = 0) {
    const a = Math.exp(logOf(1, before));
    const lines = [a + 0.75 * c * a ** 3, (b * a * a) / 2, (c * a ** 3) / 4, 0];
    const crest = turnOf(1, before);
    return {
      amplitudes: Float64Array.from(orders, (n, k) =>
        Math.abs(lines[k] * Math.exp(logOf(n, behind))),
      ),
      phases: Float64Array.from(
        orders,
        (n, k) => n * crest + turnOf(n, behind) + (lines[k] < 0 ? Math.PI : 0) + memory * (n - 1),
      ),
    };
  }
  const filterOf = (before: number, behind: number) => ({
    logGains: Float64Array.from(
      orders,
      (n) => logOf(n, before) + logOf(n, behind) - logOf(1, before) - logOf(1, behind),
    ),
    phases: Float64Array.from(orders, (n) => turnOf(n, before) + turnOf(n, behind)),
  });

  it.each([
    [5, 1e9, 0],
    [1e9, 5, 1],
    // Two alike: half of the phase, and of the loss, is behind the bend.
    [7, 7, 0.5],
    [20, 20, 0.5],
  ])("finds on which side of the bend the filter stands: %d, %d", (before, behind, share) => {
    const { amplitudes, phases } = wave(before, behind);
    const curve = fitFilteredCurve(amplitudes, phases, filterOf(before, behind));
    expect(curve.behind.high).toBeCloseTo(share, 3);
    expect(curve.outOfPhase).toBeLessThan(1e-8);
    // A tone half as strong, its harmonics weakened by the same filter.
    const a = 0.5 * Math.exp(logOf(1, before));
    const gain = (n: number) => Math.exp(logOf(n, behind) - logOf(1, behind));
    const power = ((b * a * a * gain(2)) / 2) ** 2 + ((c * a ** 3 * gain(3)) / 4) ** 2;
    const expected = power / (a + 0.75 * c * a ** 3) ** 2;
    expect(computeDistortionPower(curve, 0.5, 4) / expected).toBeCloseTo(1, 4);
  });

  it.each([
    ["before", 0],
    ["behind", 1],
  ] as const)("tells the low-pass behind the bend from a capacitor %s it", (side, low) => {
    // first-order high-pass at a twentieth of the tone, in closed form
    const turn = (n: number) => Math.atan(0.05 / n);
    const { amplitudes, phases } = wave(1e9, 20);
    const filter = filterOf(1e9, 20);
    const turned = phases.map((p, k) => p + (side === "before" ? (k + 1) * turn(1) : turn(k + 1)));
    const whole = { ...filter, phases: filter.phases.map((p, k) => p + turn(k + 1)) };
    const { behind, outOfPhase } = fitFilteredCurve(amplitudes, turned, whole);
    // the low-pass is not quite proportional to n, and some of it counts for the capacitor
    expect(behind.high).toBeGreaterThan(0.95);
    expect(Math.abs(behind.low - low)).toBeLessThan(0.1);
    // a fiftieth of what counts as memory
    expect(outOfPhase).toBeLessThan(1e-6);
  });

  it("leaves out of phase what no filter of the path explains", () => {
    const { amplitudes, phases } = wave(1e9, 5, 0.3);
    expect(fitFilteredCurve(amplitudes, phases, filterOf(1e9, 5)).outOfPhase).toBeGreaterThan(0.01);
  });
});

describe("computeWeakerTone", () => {
  // T₁(rx) = rx, T₂(rx) = r²·T₂(x) + r² − 1, T₃(rx) = r³·T₃(x) + (3r³ − 3r)·x: a tone r times as strong
  // through a₁T₁ + a₂T₂ + a₃T₃ has the harmonics r·a₁ + (3r³ − 3r)·a₃, r²·a₂ and r³·a₃.
  const coefficients = Float64Array.of(1, 0.2, -0.1);
  const closed = (r: number, a3 = -0.1) => [
    r + (3 * r ** 3 - 3 * r) * a3,
    r ** 2 * 0.2,
    r ** 3 * a3,
  ];

  it.each([1, 0.7, 0.1, 0])("gives the harmonics of a tone %f times as strong", (r) => {
    const found = computeWeakerTone({ coefficients }, r, 3);
    expect(found).toHaveLength(3);
    closed(r).forEach((h, k) => {
      expect(found[k]).toBeCloseTo(h, 14);
    });
  });

  it("gives as many as are asked for, of as many of the curve as are to count", () => {
    const two = computeWeakerTone({ coefficients }, 0.7, 2);
    expect([...two].map((h) => h.toFixed(12))).toEqual(
      closed(0.7)
        .slice(0, 2)
        .map((h) => h.toFixed(12)),
    );
    const five = computeWeakerTone({ coefficients }, 0.7, 5);
    expect(five).toHaveLength(5);
    for (const h of five.subarray(3)) expect(h).toBeCloseTo(0, 14);
    const without = computeWeakerTone({ coefficients }, 0.7, 3, 2);
    closed(0.7, 0).forEach((h, k) => {
      expect(without[k]).toBeCloseTo(h, 14);
    });
  });

  it("passes each harmonic through what is behind the curve", () => {
    const gains = Float64Array.of(1, 0.5, 0.25);
    const found = computeWeakerTone({ coefficients, gains }, 0.7, 3);
    closed(0.7).forEach((h, k) => {
      expect(found[k]).toBeCloseTo(h * gains[k], 14);
    });
  });

  it("is the power of the harmonics over that of the fundamental, up to the highest", () => {
    const [h1, h2, h3] = closed(0.7);
    const power = (highest: number) => computeDistortionPower({ coefficients }, 0.7, highest);
    expect(power(2)).toBeCloseTo((h2 / h1) ** 2, 14);
    expect(power(3)).toBeCloseTo((h2 ** 2 + h3 ** 2) / h1 ** 2, 14);
  });
});

describe("fitTransferCurve", () => {
  it("finds the crest within 0.35 rad of the fundamental's, where harmonics are most in phase", () => {
    // Harmonics 2 and 3 in phase with a crest 0.21 rad beside the fundamental's: 0.21 is a step of 0.01.
    for (const off of [0.35, 0.21, 0, -0.21, -0.35]) {
      const phases = Float64Array.of(0.4, 2 * (0.4 + off), 3 * (0.4 + off) + Math.PI);
      const { coefficients } = fitTransferCurve(Float64Array.of(1, 0.02, 0.01), phases);
      expect(coefficients[0]).toBe(1);
      expect(coefficients[1]).toBeCloseTo(0.02, 12);
      expect(coefficients[2]).toBeCloseTo(-0.01, 12);
    }
  });

  it("takes no crest farther away, and of none better than another the first", () => {
    const phases = Float64Array.of(0, 2 * 0.5, 3 * 0.5);
    const { coefficients } = fitTransferCurve(Float64Array.of(1, 0, 0.01), phases);
    expect(coefficients[2]).toBeCloseTo(0.01 * Math.cos(3 * 0.15), 12);
    expect([...fitTransferCurve(Float64Array.of(1), Float64Array.of(0.3)).coefficients]).toEqual([
      1,
    ]);
  });
});
