import { describe, expect, it } from "vitest";
import { computeGatePower } from "../../src/dsp/deconvolution.js";
import { computeCrosstalkBetween } from "../../src/measure/crosstalk.js";
import { harmonicCurveKinds } from "../../src/measure/harmonic-curves.js";
import { computePathFilter } from "../../src/measure/path-filter.js";
import { delay } from "../../src/measure/readings/delay.js";
import { polarity } from "../../src/measure/readings/polarity.js";
import {
  computeLowResponseCurve,
  computeResponseCurve,
  getResponseTopHz,
} from "../../src/measure/response.js";
import { computeRollOff } from "../../src/measure/roll-off.js";
import {
  buildSweepGates,
  computeResponse,
  computeResponseMethodDb,
} from "../../src/measure/sweep.js";
import type { SweepAnalysis } from "../../src/measure/sweep-answer.js";
import { readHarmonics } from "../../src/measure/sweep-harmonics.js";
import { takeMainsOut } from "../../src/measure/sweep-mains.js";
import type { Curve, Reading } from "../../src/measure/types.js";
import { assertMade } from "../helpers/made.js";
import { makeSamples } from "../helpers/samples.js";

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
    // By 2 − 4i: √20 less.
    const more = answerOf(
      turned(() => 0.4, 3),
      { more: { shaping: () => ({ re: 2, im: -4 }) } },
    );
    expect(computeResponse(more, 1234).magnitude).toBeCloseTo(3 / Math.sqrt(20), 9);
    expect(computeResponse(more, 1234).phase).toBeCloseTo(0.4 + Math.atan(2), 9);
  });

  it("is read through gates that stay clear of the second harmonic: 0.6·L·ln 2 before it", () => {
    const leadOf = (rateS: number) =>
      buildSweepGates({ rateS } as never).map(({ beforeS }) => beforeS);
    expect(leadOf(1)).toEqual([0.12, 0.03, 0.01]);
    expect(leadOf(0.2)).toEqual([expect.closeTo(0.12 * Math.LN2, 12), 0.03, 0.01]);
    expect(leadOf(0.02)).toEqual(
      Array.from({ length: 3 }, () => expect.closeTo(0.012 * Math.LN2, 12)),
    );
    expect(buildSweepGates({ rateS: 1 } as never).map(({ toHz }) => toHz)).toEqual([
      250,
      2500,
      Number.POSITIVE_INFINITY,
    ]);
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

  it("has the noise of a twelfth of the frequency about it, or of 8 Hz", () => {
    const of = (hz: number, at: (away: number) => number) => {
      const noise = {
        density: makeSamples(24_001, (k) => densityFor(0.01) * at(Math.abs(k - hz))),
        stepHz: 1,
        segments: 10,
      };
      return computeResponse(answerOf(flat(1), { more: { noise } as never }), hz).stdDev ?? 0;
    };
    // Nothing that is a twelfth away counts, of 1200 Hz 100; half of that does, but for some bins.
    expect(of(1200, (away) => (away > 100 ? 1e6 : 1))).toBeCloseTo(0.01, 9);
    expect(of(1200, (away) => (away > 20 ? 4 : 0))).toBeGreaterThan(0.01);
    // Of 24 Hz 8.
    expect(of(24, (away) => (away > 8 ? 1e6 : 1))).toBeCloseTo(0.01, 9);
    expect(of(24, (away) => (away > 2 ? 4 : 0))).toBeGreaterThan(0.01);
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
    // A twentieth of a value of either part.
    const slanted = answerOf(() => [1.6, 1.6], { half: () => [1.52, 1.52] });
    expect(computeResponseMethodDb(slanted, 1000)).toBeCloseTo(3 * perNeper * 0.0025, 6);
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

  it("ends at 20 kHz, or at 40 of a sweep beyond 41 kHz", () => {
    const top = (toHz: number) => getResponseTopHz({ sweep: { toHz } } as never);
    expect([21_000, 41_000, 41_001, 42_000].map(top)).toEqual([20_000, 20_000, 40_000, 40_000]);
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
    for (const ms of [-5, -4, -3.1, -2.3, -1.7, -0.9, 0.9, 1.7, 2.3, 3.1, 4, 5]) {
      expect(read(late(ms / 1000)), `${ms} ms`).toMatchObject({ value: 1 });
      expect(read(late(ms / 1000, -1)), `${ms} ms`).toMatchObject({ value: -1 });
    }
    expect(polarity.values).toEqual({
      names: [
        { value: 1, name: "normal" },
        { value: -1, name: "inverted" },
      ],
      unlike: "inverted",
    });
  });

  it("is not told in noise that moves the constant by 10 degrees, one deviation", () => {
    // A straight line through 60 points from 300 Hz to 3 kHz: σ·√(Σf²/(n·Σf² − (Σf)²)) at 0 Hz.
    const hz = Array.from({ length: 60 }, (_, k) => 300 + (2700 * k) / 59);
    const [sum, squares] = [
      hz.reduce((all, f) => all + f, 0),
      hz.reduce((all, f) => all + f * f, 0),
    ];
    const limit = Math.PI / 18 / Math.sqrt(squares / (60 * squares - sum ** 2));
    expect(read(flat(1), 0.998 * limit)).toMatchObject({ value: 1 });
    expect(read(flat(1), 1.002 * limit)).toEqual({
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
    expect(delay.applies?.({ audio: { partner: undefined } } as never)).toBe(false);
    expect(delay.applies?.({ audio: { partner: { side: "left" } } } as never)).toBe(true);
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
    const partly = answerOf((hz) => [hz > 2500 ? 0 : 1, 0]);
    expect(computePathFilter(partly, 1000, 2)).toBeDefined();
    expect(computePathFilter(partly, 1000, 3)).toBeUndefined();
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

describe("harmonics as curves", () => {
  const lg = (power: number) => 10 * Math.log10(power);
  interface Point {
    readonly power: number;
    readonly noise?: number;
    readonly leakage?: number;
    readonly method?: number;
  }
  /** The same at all frequencies, of the orders given; the fundamental has an amplitude of 2. */
  function curveOf(id: string, given: Readonly<Record<number, Point>>, more: object = {}): Curve {
    const harmonics = Object.entries(given).map(([order, point]) => ({
      order: Number(order),
      points: Array.from({ length: 80 }, () => ({ noise: 0, leakage: 0, method: 0, ...point })),
    }));
    const answer = answerOf(flat(2), { deviation: 0, more: { harmonics, ...more } as never });
    const curve = makeOf(id)({ sweep: () => answer } as never);
    assertMade(curve);
    return curve;
  }
  function makeOf(id: string) {
    const kind = harmonicCurveKinds.find((one) => one.id === id);
    if (kind === undefined) throw new Error(`no curve ${id}`);
    return kind.make;
  }
  const first = ({ y, uncertainty, floor }: Curve) => [y[0], uncertainty[0], floor?.[0]];
  const close = (...values: readonly number[]) => values.map((one) => expect.closeTo(one, 6));

  it("stand against the fundamental, without the noise's share", () => {
    const [power, noise, leakage, method] = [0.04, 0.0004, 0.0003, 0.05];
    const clear = power - noise;
    // |z|² of noise scatters by √(2·A²·σ² + σ⁴); two voltages of any phase beat by 2·a·b.
    const doubt = Math.hypot(
      2 * Math.sqrt(2 * clear * noise + noise ** 2),
      2 * Math.sqrt(clear * leakage),
      clear * method,
    );
    const own = curveOf("harmonic2", { 2: { power, noise, leakage, method }, 3: { power: 9 } });
    expect(first(own)).toEqual(
      close(lg(clear / 4), Math.hypot(0.01, -lg(1 - doubt / clear)), lg((2 * noise + leakage) / 4)),
    );
    expect(own).toMatchObject({ xUnit: "Hz", yUnit: "dB" });
    // Without any doubt a hundredth of a decibel remains.
    expect(first(curveOf("harmonic2", { 2: { power } })).slice(0, 2)).toEqual(
      close(lg(power / 4), 0.01),
    );
  });

  it("of two orders add as powers, and so do their doubts", () => {
    const two = { power: 0.04, noise: 0.0004, leakage: 0.0003, method: 0.05 };
    const three = { power: 0.06, noise: 0.0008, leakage: 0.0001, method: 0.02 };
    const clear = [two, three].map(({ power, noise }) => power - noise);
    const sum = clear[0] + clear[1];
    const noises = Math.hypot(two.noise, three.noise);
    const doubt = Math.hypot(
      2 * Math.sqrt(2 * (clear[0] * two.noise + clear[1] * three.noise) + noises ** 2),
      2 * Math.sqrt(clear[0] * two.leakage + clear[1] * three.leakage),
      clear[0] * two.method + clear[1] * three.method,
    );
    expect(first(curveOf("distortion", { 2: two, 3: three }))).toEqual(
      close(
        lg(sum / 4),
        Math.hypot(0.01, -lg(1 - doubt / sum)),
        lg((2 * noises + two.leakage + three.leakage) / 4),
      ),
    );
  });

  it("end where an order leaves the sweep, 3.5 % below its top: 20 265 Hz", () => {
    const all = Object.fromEntries([2, 3, 10].map((order) => [order, { power: order }]));
    const lastOf = (id: string) => curveOf(id, all).x.at(-1);
    // Six points an octave in steps of 10^(1/20) about 1 kHz: 10 000, 6310 and 1995 Hz.
    expect(["harmonic2", "harmonic3", "harmonic10"].map(lastOf)).toEqual(
      [1, 0.8, 0.3].map((decades) => expect.closeTo(1000 * 10 ** decades, 6)),
    );
    const { x, y } = curveOf("distortion", all);
    expect(x[0]).toBeCloseTo(1000 * 10 ** -1.7, 9);
    x.forEach((hz, k) => {
      const sum = 2 + (hz < 6500 ? 3 : 0) + (hz < 2010 ? 10 : 0);
      expect(y[k], `${hz} Hz`).toBeCloseTo(lg(sum / 4), 9);
    });
    // Where the top is a multiple of a point, that point is in.
    const toHz = 20_000 / 0.965;
    const sweep = { kind: "sweep", fromHz: 10, toHz: toHz * (1 + 1e-12), rateS: 0.5 };
    const edge = curveOf("distortion", { 2: { power: 3 } }, { sweep });
    expect(edge.y[edge.x.findIndex((hz) => hz > 9999)]).toBeCloseTo(lg(3 / 4), 9);
  });

  it("are bounds in noise: what is left and two deviations, that of the bound itself", () => {
    const noise = 1e-4;
    // b = p + 2·√(2·b·n + n²), in units of n: (b − p)² = 8·b + 4.
    const boundOf = (p: number) => p + 4 + Math.sqrt((p + 4) ** 2 - p ** 2 + 4);
    for (const times of [6, 10]) {
      const found = curveOf("harmonic2", { 2: { power: (times + 1) * noise, noise } });
      const [y, uncertainty, floor] = first(found);
      expect(Math.abs((y ?? 0) - lg((boundOf(times) * noise) / 4))).toBeLessThan(0.05);
      expect([uncertainty, floor]).toEqual([6, y]);
    }
    // Less than noise alone gives is none: the bound of nothing.
    const none = first(curveOf("harmonic2", { 2: { power: 0, noise } }));
    expect(none).toEqual(first(curveOf("harmonic2", { 2: { power: noise, noise } })));
    // 1.5 · 2·√(2·p + 1) is p at 9 + √90 = 18.49.
    const of = (times: number) =>
      curveOf("harmonic2", { 2: { power: (times + 1) * noise, noise } }).uncertainty[0];
    expect(of(18.3)).toBe(6);
    expect(of(18.6)).toBeLessThan(5);
  });

  it("of two orders are bounded by the larger noise and both scatters", () => {
    const [two, three] = [1e-4, 2e-4];
    // In units of the larger noise: (b − p)² = 4·(2·b + ¼ + 1).
    const p = 6;
    const b = p + 4 + Math.sqrt((p + 4) ** 2 - p ** 2 + 4 * 1.25);
    const found = curveOf("distortion", {
      2: { power: two, noise: two },
      3: { power: (p + 1) * three, noise: three },
    });
    expect(Math.abs(found.y[0] - lg((b * three) / 4))).toBeLessThan(0.05);
    expect(found.uncertainty[0]).toBe(6);
  });

  it("are bounds where their neighbours reach as far: the sum of both voltages", () => {
    // √0.01 + √0.02, squared; and what is beside one is doubted by 2·√(1·l): 1.5 of that is 1 at 1/9.
    const found = curveOf("harmonic2", { 2: { power: 0.01, leakage: 0.02 } });
    const most = (0.1 + Math.sqrt(0.02)) ** 2;
    expect(first(found)).toEqual(close(lg(most / 4), 6, lg(most / 4)));
    const of = (leakage: number) => curveOf("harmonic2", { 2: { power: 1, leakage } });
    expect(of(0.1105).uncertainty[0]).toBeLessThan(6);
    expect(of(0.112).uncertainty[0]).toBe(6);
  });

  it("of two orders are bounds where what one may have of its neighbour is as much as both", () => {
    const of = (leakage: number) =>
      curveOf("distortion", { 2: { power: 1 }, 3: { power: 0, leakage } }).uncertainty[0];
    expect([0.99, 1, 2].map(of)).toEqual([expect.closeTo(0.01, 9), 6, 6]);
  });

  it("of nothing in no noise are as low as a number goes", () => {
    const [y, , floor] = first(curveOf("harmonic2", { 2: { power: 0 } }));
    expect(y).toBeLessThan(-3000);
    expect(floor).toBe(y);
    expect(curveOf("harmonic2", { 2: { power: 1 } }).floor?.[0]).toBeLessThan(-3000);
  });

  it("are none without a sweep, its noise or anything that came back", () => {
    const make = makeOf("harmonic2");
    expect(make({ sweep: () => absent } as never)).toEqual(absent);
    expect(make({ sweep: () => answerOf(flat(1)) } as never)).toEqual({
      absent: { code: "noise-unknown", of: "sweep" },
    });
    expect(make({ sweep: () => answerOf(flat(0), { deviation: 0 }) } as never)).toEqual({
      absent: { code: "sweep-gone" },
    });
  });
});

describe("harmonics in the response to a sweep", () => {
  const [rateS, length] = [0.2, 65_536];
  const sweep = { kind: "sweep", fromHz: 10, toHz: 21_000, rateS };
  /** Single samples, of these heights at these seconds, before time zero from the end on. */
  function read(pulses: readonly (readonly [s: number, height: number])[], more: object = {}) {
    const samples = new Float64Array(length);
    for (const [s, height] of pulses) {
      samples[(Math.round(s * sampleRate) + length) % length] += height;
    }
    const reference = { size: length, sampleRate, power: new Float64Array(length / 2 + 1).fill(4) };
    const ground = {
      sweep,
      reference,
      noise: undefined,
      shaping: () => ({ re: 1, im: 0 }),
      ...more,
    };
    return readHarmonics(ground as never, { samples, sampleRate });
  }
  const at = (order: number, laterS = 0) => -rateS * Math.log(order) + laterS;
  const white = (density: number) => ({
    density: new Float64Array(2401).fill(density),
    stepHz: 10,
    segments: 10,
  });

  it("are what comes L·ln n before it, each in its own gate", () => {
    const orders = [2, 3, 4, 5, 6, 7, 8, 9, 10];
    const found = read([[0, 100], ...orders.map((n) => [at(n), n] as const)]);
    expect(found.map(({ order }) => order)).toEqual(orders);
    for (const { order, points } of found) {
      // From five periods in L, 25 Hz, in steps of 10^(1/20) up to 18 kHz or where n leaves the sweep.
      const most = Math.min(18_000, 20_265 / order);
      const count = Math.floor(20 * Math.log10(most / 1000)) + 32 + 1;
      expect(points, `order ${order}`).toHaveLength(count);
      const off = points.map(({ power, noise, leakage, method }, k) => {
        const hz = 1000 * 10 ** ((k - 32) / 20);
        const expected = 10 ** ((0.04 * order) / (rateS * hz)) - 1;
        return Math.hypot(power / order ** 2 - 1, noise, leakage, method - expected);
      });
      expect(Math.max(...off), `order ${order}`).toBeLessThan(1e-6);
    }
  });

  it("are divided by the shaping at n times the frequency", () => {
    // Its power at f: 1 + (f/1000)².
    const shaping = (hz: number) => ({ re: 1, im: hz / 1000 });
    const [, third] = read([[at(3), 1]], { shaping });
    third.points.forEach(({ power }, k) => {
      const hz = 1000 * 10 ** ((k - 32) / 20);
      expect(power * (1 + (3 * hz) ** 2 / 1e6)).toBeCloseTo(1, 6);
    });
  });

  it("have the noise of their gates, shorter from 200 Hz and from 1.5 kHz on", () => {
    const density = 1e-12;
    const [second, third] = read([], { noise: white(density) });
    // Half of the way to the next on one side, 85 % on the other; flanks of 0.9 and 0.6 of that are
    // raised cosines, whose squares are 3/8 of their length.
    const squares = (before: number, after: number) =>
      (before * (0.1 + 0.9 * 0.375) + after * (0.4 + 0.6 * 0.375)) * sampleRate;
    const noise = (before: number, after: number) =>
      ((density * sampleRate) / 2 / 4) * squares(before, after);
    const indexOf = (hz: number) => Math.round(20 * Math.log10(hz / 1000)) + 32;
    for (const [{ points }, order] of [
      [second, 2],
      [third, 3],
    ] as const) {
      const before = 0.5 * rateS * Math.log((order + 1) / order);
      const after = 0.85 * rateS * Math.log(order / (order - 1));
      const wide = noise(before, after);
      const rows = [
        [25, wide],
        [199.6, wide],
        [224, noise(Math.min(before, 0.025), 0.05)],
        [1412, noise(Math.min(before, 0.025), 0.05)],
        [1585, noise(0.01, 0.02)],
        [5623, noise(0.01, 0.02)],
      ] as const;
      for (const [hz, expected] of rows) {
        expect(points[indexOf(hz)].noise / expected, `${order}, ${hz} Hz`).toBeCloseTo(1, 2);
      }
    }
  });

  it("leak by what is near the edge of the gate, unless noise may be that", () => {
    // The gate of the second ends 0.85·L·ln 2 later; what lies 90 ms later is on its flank, and beyond
    // the narrower gate of 0.6 times that.
    const after = 0.85 * rateS * Math.LN2;
    const weight = 0.5 * (1 + Math.cos((Math.PI * (0.09 - 0.4 * after)) / (0.6 * after)));
    const leakageOf = (density?: number) =>
      read([[at(2, 0.09), 3]], density === undefined ? {} : { noise: white(density) })[0].points[0]
        .leakage;
    const all = leakageOf();
    // Between bins a spectrum is known to some hundredths that far from its middle.
    expect(all / (3 * weight) ** 2).toBeCloseTo(1, 1);
    // Noise up to a quarter of it is taken off, more may be all of it.
    const share = 1 - leakageOf(1e-9) / all;
    expect(share).toBeGreaterThan(0);
    expect(leakageOf((1e-9 * 0.245) / share) / all).toBeCloseTo(0.755, 6);
    expect(leakageOf((1e-9 * 0.255) / share)).toBe(0);
    // Within the narrower gate nothing is beside.
    expect(read([[at(2), 3]])[0].points[0].leakage).toBeLessThan(1e-20);
  });
});

describe("mains lines in the response to a sweep", () => {
  const [length, hz, middle] = [9600, 50, 4000];
  const lineAt = (order: number, n: number, re: number, im: number) => {
    const angle = (2 * Math.PI * order * hz * (n - middle)) / sampleRate;
    return re * Math.cos(angle) - im * Math.sin(angle);
  };
  const linesOf = (more: object = {}) => ({
    frequencyHz: hz,
    deviationHz: 0,
    amplitudes: Float64Array.of(0.5, 0.1, 0.2),
    // 0.25, 0.01 and 0.04 against twelve times these.
    variances: Float64Array.of(1e-6, 0.01 / 11.9, 0.04 / 12.1),
    series: { re: Float64Array.of(0.7, 0.3, 0.1, 0), im: Float64Array.of(0, 0.4, 0, 0.2) },
    middle,
    ...more,
  });
  const samples = makeSamples(length, (n) => n / length);

  it("are taken out where they are twelve times their doubt, at the phase that they have by then", () => {
    const laterBy = 1234;
    const { samples: left } = takeMainsOut(samples, sampleRate, linesOf() as never, laterBy);
    for (const n of [0, 1, 100, 4321, length - 1]) {
      const lines = lineAt(1, n + laterBy, 0.3, 0.4) + lineAt(3, n + laterBy, 0, 0.2);
      expect(left[n]).toBeCloseTo(n / length - lines, 6);
    }
    // What was given stays as it was.
    expect(samples[100]).toBe(100 / length);
  });

  it("leave a hundredth of an amplitude, what phase the frequency may have lost, and their doubt", () => {
    // From sample 4000 − 1000 to 4800: 1800 samples.
    const lines = linesOf({ deviationHz: 0.02 });
    const { rest } = takeMainsOut(samples, sampleRate, lines as never, 1000);
    const turn = (order: number) => (2 * Math.PI * order * 0.02 * 1800) / sampleRate;
    const [first, second, third] = linesOf().variances;
    const leftOf = (power: number, variance: number, order: number) =>
      (power - 2 * variance) * (1e-4 + turn(order) ** 2) + 2 * variance;
    expect(rest).toEqual([
      { hz: 50, power: expect.closeTo(leftOf(0.25, first, 1), 12) },
      // All of the one that was not taken out, but for the noise's share.
      { hz: 100, power: expect.closeTo(0.01 - 2 * second, 12) },
      { hz: 150, power: expect.closeTo(leftOf(0.04, third, 3), 12) },
    ]);
    // No more than there was of it, however long ago.
    const unsure = takeMainsOut(samples, sampleRate, linesOf({ deviationHz: 50 }) as never, 1e6);
    expect(unsure.rest[0].power).toBeCloseTo(0.25 - 2e-6, 12);
    // Nor less than nothing.
    const none = linesOf({ amplitudes: Float64Array.of(0.5, 1e-3, 0.2) });
    expect(takeMainsOut(samples, sampleRate, none as never, 0).rest[1].power).toBe(0);
  });

  it("stay where none is clear", () => {
    const weak = linesOf({ variances: Float64Array.of(1, 1, 1) });
    const left = takeMainsOut(samples, sampleRate, weak as never, 0);
    expect(left.samples).toBe(samples);
    expect(left.rest.map(({ power }) => power)).toEqual([0, 0, 0]);
  });
});

describe("crosstalk between two responses", () => {
  const db = (amplitude: number) => 20 * Math.log10(amplitude);
  const between = (amplitude: number, deviation?: number) =>
    computeCrosstalkBetween(answerOf(flat(2)), answerOf(flat(amplitude), { deviation }));
  const made = (amplitude: number, deviation: number) => {
    const curve = between(amplitude, deviation);
    assertMade(curve);
    return curve;
  };
  const first = ({ y, uncertainty, floor }: Curve) => [y[0], uncertainty[0], floor?.[0]];

  it("is a level against the driven one, without the noise's share", () => {
    // Each quadrature has the deviation, so 2σ² are noise's, and |z|² scatters by 2·√(p·σ² + σ⁴).
    const [own, sigma] = [0.02, 0.001];
    const found = made(Math.sqrt(own ** 2 + 2 * sigma ** 2), sigma);
    const scatter = 2 * Math.sqrt(own ** 2 * sigma ** 2 + sigma ** 4);
    expect(first(found)).toEqual(
      [
        db(own / 2),
        Math.hypot(0.003, -10 * Math.log10(1 - (2 * scatter) / own ** 2)),
        db((Math.SQRT2 * sigma) / 2),
      ].map((one) => expect.closeTo(one, 6)),
    );
    expect(found).toMatchObject({ xUnit: "Hz", yUnit: "dB" });
    // Third octaves from 20 Hz to 20 kHz.
    expect(found.x).toEqual(
      Array.from({ length: 31 }, (_, k) => expect.closeTo(1000 * 10 ** ((k - 17) / 10), 6)),
    );
  });

  it("is a bound below three deviations: what is left and two of them at the bound", () => {
    // In σ²: p is 3·2·√(p + 1) at 18 + √360 = 36.97.
    const of = (times: number) => made(0.001 * Math.sqrt(times + 2), 0.001);
    expect(of(36.9).uncertainty[0]).toBeCloseTo(6, 5);
    expect(of(37.1).uncertainty[0]).toBeLessThan(5);
    // b = p + 2·√(4·b + 4): (b − p)² = 16·b + 16.
    for (const p of [20, 30]) {
      const bound = p + 8 + Math.sqrt((p + 8) ** 2 - p ** 2 + 16);
      expect(Math.abs((of(p).y[0] ?? 0) - db((0.001 * Math.sqrt(bound)) / 2))).toBeLessThan(0.02);
    }
    // Less than noise alone gives is taken for that.
    expect(of(-1).y[0]).toBeCloseTo(of(0).y[0], 9);
  });

  it("is not told where noise is not known, or there is none at all", () => {
    expect(between(0.02)).toEqual({ absent: { code: "noise-unknown", of: "crosstalk" } });
    const zero = { absent: { code: "digital-zero", of: "undriven" } };
    expect(between(0.02, 0)).toEqual(zero);
    expect(between(0, 0)).toEqual(zero);
    const silent = answerOf(flat(0), { deviation: 0.001 });
    expect(computeCrosstalkBetween(silent, answerOf(flat(1), { deviation: 0.001 }))).toEqual(zero);
  });
});
