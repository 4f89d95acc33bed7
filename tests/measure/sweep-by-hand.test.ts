import { describe, expect, it } from "vitest";
import { computeGatePower } from "../../src/dsp/deconvolution.js";
import { computePathFilter } from "../../src/measure/path-filter.js";
import { delay } from "../../src/measure/readings/delay.js";
import { polarity } from "../../src/measure/readings/polarity.js";
import { computeLowResponseCurve, computeResponseCurve } from "../../src/measure/response.js";
import { computeRollOff } from "../../src/measure/roll-off.js";
import { computeResponse, computeResponseMethodDb } from "../../src/measure/sweep.js";
import type { SweepAnalysis } from "../../src/measure/sweep-answer.js";
import type { Reading } from "../../src/measure/types.js";
import { assertMade } from "../helpers/made.js";

// Expected: closed forms of responses that are written down bin by bin, in noise of a given density; no
// audio is made. A delay of τ turns the phase by −2πfτ.

const perNeper = 20 / Math.LN10;
const sampleRate = 48_000;
const stepHz = 10;
const size = 2 * Math.round(24_000 / stepHz);
const noiseSamples = 100;
const absent = { absent: { code: "converter-clipped" } } as const;

type Shape = (hz: number) => readonly [re: number, im: number];
const turned =
  (radians: (hz: number) => number, amplitude = 1): Shape =>
  (hz) => [amplitude * Math.cos(radians(hz)), amplitude * Math.sin(radians(hz))];
const late = (seconds: number, amplitude = 1) =>
  turned((hz) => -2 * Math.PI * hz * seconds, amplitude);
const flat =
  (amplitude: number): Shape =>
  () => [amplitude, 0];

function gated(shape: Shape) {
  const spectrum = new Float64Array(size + 2);
  for (let k = 0; k <= size / 2; k++) [spectrum[2 * k], spectrum[2 * k + 1]] = shape(k * stepHz);
  const gate = { beforeS: 0.01, fadeInS: 0.005, afterS: 0.05, fadeOutS: 0.02 };
  return { spectrum, size, stepHz, noiseSamples, gate };
}

/** Relative deviation of each response of amplitude 1, as the noise's density makes it. */
const densityFor = (deviation: number) => (2 * deviation ** 2) / ((sampleRate / 2) * noiseSamples);

interface Given {
  readonly half?: Shape;
  readonly deviation?: number | undefined;
  readonly more?: Partial<SweepAnalysis>;
}
function answerOf(shape: Shape, { half = shape, deviation, more = {} }: Given = {}): SweepAnalysis {
  const noise =
    deviation === undefined
      ? undefined
      : { density: new Float64Array(2401).fill(densityFor(deviation)), stepHz: 10, segments: 10 };
  return {
    sweep: { kind: "sweep", fromHz: 10, toHz: 21_000, rateS: 0.5 },
    gates: [{ toHz: Number.POSITIVE_INFINITY, ...gated(shape), half: gated(half) }],
    harmonics: [],
    shaping: () => ({ re: 1, im: 0 }),
    reference: { size, sampleRate, power: new Float64Array(size / 2 + 1).fill(1) },
    noise,
    quiet: undefined,
    mainsRest: [],
    ...more,
  } as never;
}

describe("a response at a frequency", () => {
  it("is its magnitude and phase, the shaping divided out", () => {
    const point = computeResponse(answerOf(turned(() => 0.4, 3)), 1234);
    expect(point.magnitude).toBeCloseTo(3, 9);
    expect(point.phase).toBeCloseTo(0.4, 9);
    expect(point.stdDev).toBeUndefined();
    // By 1 + 2i: √5 less, and arctan 2 earlier.
    const shaped = answerOf(
      turned(() => 0.4, 3),
      { more: { shaping: () => ({ re: 1, im: 2 }) } },
    );
    expect(computeResponse(shaped, 1234).magnitude).toBeCloseTo(3 / Math.sqrt(5), 9);
    expect(computeResponse(shaped, 1234).phase).toBeCloseTo(0.4 - Math.atan(2), 9);
  });

  it("is read through the gate of its frequency, up to its limit", () => {
    const gates = [250, 2500, 5000].map((toHz, k) => ({
      ...{ toHz, ...gated(flat(k + 1)) },
      half: gated(flat(1)),
    }));
    const answer = answerOf(flat(1), { more: { gates } as never });
    expect(
      [100, 250, 251, 2500, 2501, 9000].map((hz) =>
        Number(computeResponse(answer, hz).magnitude.toFixed(9)),
      ),
    ).toEqual([1, 1, 2, 2, 3, 3]);
  });

  it("is as sure as the noise through the gate lets it: half of it lies along the magnitude", () => {
    const of = (amplitude: number, more: Given["more"] = {}) =>
      computeResponse(answerOf(flat(amplitude), { deviation: 0.01, more }), 1000).stdDev;
    expect(of(1)).toBeCloseTo(0.01, 12);
    expect(of(4)).toBeCloseTo(0.0025, 12);
    // Sent with four times the power at that frequency.
    const power = new Float64Array(size / 2 + 1).fill(1);
    power[1000 / stepHz] = 4;
    expect(of(1, { reference: { size, sampleRate, power } } as never)).toBeCloseTo(0.005, 12);
    // The silence without its lines is the better measure of it.
    const spectrum = {
      density: new Float64Array(2401).fill(densityFor(0.03)),
      stepHz: 10,
      segments: 9,
    };
    expect(of(1, { quiet: { lines: undefined, spectrum } } as never)).toBeCloseTo(0.03, 12);
  });

  it("is the less sure by lines of the mains that were not all taken out", () => {
    // (A·|W|/2)² of a line, at half the square for each quadrature; none that noise alone may be.
    const given = answerOf(flat(1), { deviation: 0 });
    const line = { hz: 998, power: 1e-6 };
    const { gate } = given.gates[0];
    const variance = (line.power * computeGatePower(gate, 2) * sampleRate ** 2) / 4;
    const of = (...mainsRest: readonly object[]) =>
      computeResponse({ ...given, mainsRest } as never, 1000).stdDev;
    expect((of(line) ?? 0) / Math.sqrt(variance / 2)).toBeCloseTo(1, 9);
    expect((of(line, line) ?? 0) / Math.sqrt(variance)).toBeCloseTo(1, 9);
    expect(of({ hz: 998, power: -1 })).toBe(0);
  });
});

describe("what gating adds to a response", () => {
  it("is next to nothing where half the gate shows the same, more towards the sweep's end", () => {
    const answer = answerOf(flat(2));
    expect(computeResponseMethodDb(answer, 1000)).toBeCloseTo(3e-5, 7);
    expect(computeResponseMethodDb(answer, 21_000)).toBeCloseTo(Math.hypot(3e-5, 2e-4), 9);
  });

  it("is the square of what half the gate misses, and half as much again", () => {
    // 0.1 of 2 by magnitude and across it: (0.05² + 0.1²), three times that in nepers.
    const answer = answerOf(flat(2), { half: () => [1.9, 0.2] });
    expect(computeResponseMethodDb(answer, 1000)).toBeCloseTo(3 * perNeper * 0.0125, 6);
    expect(computeResponseMethodDb(answerOf(flat(0)), 1000)).toBeCloseTo(3e-5, 7);
  });

  it("is what harmonics 2 and 3 reach into it at low frequency", () => {
    const harmonics = [2, 3, 4].map((order) => ({
      order,
      points: [
        { power: 4e-4, noise: 1e-4, leakage: 0, method: 0 },
        { power: 1, noise: 0 },
      ],
    }));
    const answer = answerOf(flat(2), { more: { harmonics } as never });
    // L·f = 0.5·20: 0.8·e^(−5) of √(2·3e-4), against 2.
    const share = (0.8 * Math.exp(-5) * Math.sqrt(6e-4)) / 2;
    expect(computeResponseMethodDb(answer, 20)).toBeCloseTo(Math.hypot(3e-5, perNeper * share), 7);
    // Beyond L·f = 24 it is none.
    expect(computeResponseMethodDb(answer, 48.1)).toBeCloseTo(3e-5, 7);
    const below = harmonics.map((one) => ({ ...one, points: [{ power: 1e-4, noise: 2e-4 }] }));
    expect(
      computeResponseMethodDb(answerOf(flat(2), { more: { harmonics: below } as never }), 20),
    ).toBeCloseTo(3e-5, 7);
    const none = harmonics.map((one) => ({ ...one, points: [] }));
    expect(
      computeResponseMethodDb(answerOf(flat(2), { more: { harmonics: none } as never }), 20),
    ).toBeCloseTo(3e-5, 7);
  });
});

describe("the response as a curve", () => {
  /** Straight in frequency, so that it is the same between bins. */
  const rising: Shape = (hz) => [1 + hz / 10_000, 0];
  const db = (hz: number) => 20 * Math.log10((1 + hz / 10_000) / 1.1);
  const read = (make: typeof computeResponseCurve, given: Given = {}, shape = rising) => {
    const curve = make({ sweep: () => answerOf(shape, given) } as never);
    assertMade(curve);
    return curve;
  };

  it("stands against 1 kHz, 24 points an octave, with the noise of both", () => {
    const { x, y, uncertainty } = read(computeResponseCurve, { deviation: 0.01 });
    expect(x[0]).toBeGreaterThanOrEqual(19.9);
    expect(x.at(-1)).toBeLessThan(20_300);
    expect(x[24] / x[0]).toBeCloseTo(2, 1);
    x.forEach((hz, k) => {
      expect(y[k]).toBeCloseTo(db(hz), 6);
      const noise = Math.hypot(0.01 / (1 + hz / 10_000), hz === 1000 ? 0 : 0.01 / 1.1);
      const method = Math.hypot(3e-5, 3e-5, 2e-4 * (hz / 21_000) ** 4);
      expect(uncertainty[k]).toBeCloseTo(Math.hypot(method, 2 * perNeper * noise), 6);
    });
    expect(x).toContain(1000);
    // Without noise known, that of the method alone.
    expect(read(computeResponseCurve).uncertainty[3]).toBeCloseTo(Math.hypot(3e-5, 3e-5), 7);
  });

  it("goes on below 20 Hz in steps whose noise is independent, from 1.6 times the sweep's beginning", () => {
    const { x, y } = read(computeLowResponseCurve);
    expect(x[0]).toBeCloseTo(16, 9);
    x.slice(1).forEach((hz, k) => {
      expect(hz - x[k]).toBeGreaterThanOrEqual(1.25);
    });
    // 16, 17.25, 18.5: the next is less than half a step from 20.
    expect(x).toEqual([16, 17.25, 18.5].map((hz) => expect.closeTo(hz, 9)));
    x.forEach((hz, k) => {
      expect(y[k]).toBeCloseTo(db(hz), 6);
    });
  });

  it("is none where nothing came back, or the sweep is absent", () => {
    for (const make of [computeResponseCurve, computeLowResponseCurve]) {
      expect(make({ sweep: () => absent } as never)).toEqual(absent);
      expect(make({ sweep: () => answerOf(flat(0)) } as never)).toEqual({
        absent: { code: "sweep-gone" },
      });
    }
  });
});

describe("the polarity of a response", () => {
  const read = (shape: Shape, deviation?: number) =>
    polarity.read({ sweep: () => answerOf(shape, { deviation }) } as never);
  const phase = (degrees: number) =>
    turned((hz) => (degrees * Math.PI) / 180 - 2 * Math.PI * hz * 1e-3);

  it.each([
    [0, 1],
    [59, 1],
    [-59, 1],
    [121, -1],
    [-121, -1],
    [180, -1],
  ])("at %i degrees besides a delay is %i", (degrees, value) => {
    expect(read(phase(degrees))).toEqual({ value, unit: "", uncertainty: 0 });
  });

  it("is undecided from 60 to 120 degrees", () => {
    for (const degrees of [61, 119, -61, -119]) {
      expect(read(phase(degrees))).toEqual({ absent: { code: "between-polarities" } });
    }
    // A delay of either sign changes nothing.
    for (const seconds of [-0.004, 0.004]) {
      expect(read(late(seconds))).toMatchObject({ value: 1 });
      expect(read(late(seconds, -1))).toMatchObject({ value: -1 });
    }
  });

  it("is not told in noise that moves the constant by 10 degrees, one deviation", () => {
    // A straight line through 60 points from 300 Hz to 3 kHz: σ·√(Σf²/(n·Σf² − (Σf)²)) at 0 Hz.
    const hz = Array.from({ length: 60 }, (_, k) => 300 + (2700 * k) / 59);
    const [sum, squares] = [
      hz.reduce((all, f) => all + f, 0),
      hz.reduce((all, f) => all + f * f, 0),
    ];
    const limit = Math.PI / 18 / Math.sqrt(squares / (60 * squares - sum ** 2));
    expect(read(flat(1), 0.99 * limit)).toMatchObject({ value: 1 });
    expect(read(flat(1), 1.01 * limit)).toEqual({
      absent: { code: "sweep-in-noise", where: "middle" },
    });
    expect(polarity.read({ sweep: () => absent } as never)).toEqual(absent);
  });
});

describe("the delay between two sides", () => {
  const read = (own: unknown, other: unknown, side = "right") =>
    delay.read({
      sweep: () => own,
      partner: () => (other === undefined ? undefined : { sweep: () => other }),
      audio: { partner: { side } },
    } as never) as Reading;

  it("is how much later the left comes, also where one is inverted", () => {
    const [own, other] = [answerOf(late(5e-4)), answerOf(late(2e-4))];
    expect(read(own, other)).toEqual({
      value: expect.closeTo(300, 4),
      unit: "µs",
      uncertainty: 0.002,
    });
    expect(read(own, other, "left").value).toBeCloseTo(-300, 4);
    expect(read(other, own).value).toBeCloseTo(-300, 4);
    expect(read(own, answerOf(late(2e-4, -1))).value).toBeCloseTo(300, 4);
  });

  it("is as sure as the slope through 60 phases is", () => {
    const [own, other] = [0.003, 0.004].map((deviation) => answerOf(flat(1), { deviation }));
    const spread = Array.from({ length: 60 }, (_, k) => ((2700 * k) / 59 - 1350) ** 2).reduce(
      (sum, square) => sum + square,
      0,
    );
    const slope = (2 * 0.005) / Math.sqrt(spread);
    expect(read(own, other).uncertainty).toBeCloseTo(
      Math.hypot(0.002, (1e6 * slope) / (2 * Math.PI)),
      6,
    );
  });

  it("is none in noise of 0.3 radians, and without both sides", () => {
    const of = (deviation: number) =>
      read(answerOf(flat(1), { deviation }), answerOf(flat(1), { deviation: 0 }));
    expect(of(0.29).value).toBeCloseTo(0, 6);
    expect(of(0.31)).toEqual({ absent: { code: "sweep-in-noise", where: "both-sides" } });
    expect(read(absent, answerOf(flat(1)))).toEqual(absent);
    expect(read(answerOf(flat(1)), absent)).toEqual({
      absent: { code: "of-other-side", because: absent.absent },
    });
    expect(read(answerOf(flat(1)), undefined)).toMatchObject({ absent: { code: "of-other-side" } });
  });
});

describe("the filter of a path at the harmonics", () => {
  const falling =
    (seconds: number, sign = 1): Shape =>
    (hz) => {
      const [re, im] = late(seconds, sign * (2 - hz / 20_000))(hz);
      return [re, im];
    };

  it.each([1, -1])("has gains against the fundamental and phases that go on, sign %i", (sign) => {
    // 0.3 ms are 0.3 of a turn for each kilohertz, and a sign is none of the filter's.
    const filter = computePathFilter(answerOf(falling(3e-4, sign), { deviation: 0.02 }), 1000, 6);
    for (let k = 0; k < 6; k++) {
      const gain = (2 - (k + 1) / 20) / (2 - 1 / 20);
      expect(filter?.logGains[k]).toBeCloseTo(Math.log(gain), 6);
      expect(filter?.variances[k]).toBeCloseTo((0.02 / (2 - (k + 1) / 20)) ** 2, 9);
    }
    const steps = Array.from({ length: 5 }, (_, k) =>
      filter === undefined ? Number.NaN : filter.phases[k + 1] - filter.phases[k],
    );
    for (const step of steps) expect(step).toBeCloseTo(-0.6 * Math.PI, 6);
    // Drawn on to 0 Hz it begins at none.
    expect((filter?.phases[0] ?? 0) + 0.6 * Math.PI).toBeCloseTo(0, 6);
  });

  it("is not known where the sweep does not reach, or nothing came back", () => {
    const answer = answerOf(flat(1));
    expect(computePathFilter(answer, 1000, 21)).toBeDefined();
    expect(computePathFilter(answer, 1000, 22)).toBeUndefined();
    expect(computePathFilter(answer, 1000, 2)).toBeDefined();
    expect(computePathFilter(answer, 1000, 1)).toBeUndefined();
    expect(computePathFilter(answerOf(flat(0)), 1000, 5)).toBeUndefined();
    expect(computePathFilter(absent as never, 1000, 5)).toBeUndefined();
    // Without noise known none is taken.
    expect([...(computePathFilter(answer, 1000, 3)?.variances ?? [])]).toEqual([0, 0, 0]);
  });
});

describe("the roll-off of a response to the sweep", () => {
  const lowPass =
    (hz: number): Shape =>
    (f) => {
      const share = 1 / (1 + (f / hz) ** 2);
      return [share, (-f / hz) * share];
    };

  it("is where half the power of 1 kHz is left, and of first order", () => {
    const { corner, order } = computeRollOff(answerOf(lowPass(8000), { deviation: 1e-4 }), "high");
    assertMade(corner);
    assertMade(order);
    // 1 + (f/8)² = 2·(1 + (1/8)²).
    const expected = 8000 * Math.sqrt(2 * (1 + 1 / 64) - 1);
    expect(Math.abs(corner.hz / expected - 1)).toBeLessThan(1e-3);
    expect(Math.abs(order.value - 1)).toBeLessThan(0.05);
  });

  it("is none where 1 kHz is not known within 5 %, or nothing came back", () => {
    const of = (deviation: number) => computeRollOff(answerOf(flat(1), { deviation }), "high");
    const noisy = { absent: { code: "sweep-in-noise", where: "reference" } };
    expect(of(0.051)).toEqual({ corner: noisy, order: noisy });
    expect(of(0.049).corner).toEqual({
      absent: {
        code: "corner-beyond-sweep",
        end: "high",
        edgeHz: expect.closeTo(0.965 * 21_000, 6),
      },
    });
    expect(computeRollOff(answerOf(flat(1)), "low").corner).toEqual({
      absent: { code: "corner-beyond-sweep", end: "low", edgeHz: 16 },
    });
    const gone = { absent: { code: "sweep-gone" } };
    expect(computeRollOff(answerOf(flat(0)), "low")).toEqual({ corner: gone, order: gone });
  });
});
