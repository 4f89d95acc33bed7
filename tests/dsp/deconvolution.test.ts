import { describe, expect, it } from "vitest";
import {
  computeGatePower,
  computeSpectrum,
  createHighPassShape,
  createSweepReference,
  deconvolve,
  type Gate,
  gateResponse,
  gateResponseAt,
} from "../../src/dsp/deconvolution.js";
import { makeSamples } from "../helpers/samples.js";

const rate = 48_000;
const seconds = 1;
const fromHz = 10;
const toHz = 22_000;

/** An exponential sweep (A. Novak et al. 2015, eq. 49), faded at its end so that it can be padded. */
function sweep(): Float64Array {
  const octaves = Math.log(toHz / fromHz);
  return makeSamples(seconds * rate, (n) => {
    const t = n / rate;
    const phase = ((2 * Math.PI * fromHz * seconds) / octaves) * Math.exp((t * octaves) / seconds);
    const end = Math.min(1, (seconds - t) / 0.005);
    return Math.sin(phase - (2 * Math.PI * fromHz * seconds) / octaves) * end;
  });
}

const sent = sweep();
const reference = createSweepReference(sent, rate, fromHz, toHz);

/** The answer at a frequency with the shaping of the low edge divided out. */
function answerAt(recording: Float64Array, hz: number, offset = 0) {
  const { re, im } = computeSpectrum(
    gateResponse(deconvolve(reference, recording, offset), 0.01, 0.4),
    hz,
  );
  const shape = createHighPassShape(reference)(hz);
  const size = shape.re ** 2 + shape.im ** 2;
  return {
    re: (re * shape.re + im * shape.im) / size,
    im: (im * shape.re - re * shape.im) / size,
  };
}

describe("deconvolve", () => {
  const frequencies = [40, 100, 333, 1000, 4321, 10_000, 20_000];

  it("gives the sweep itself an answer of 1 at all frequencies", () => {
    for (const hz of frequencies) {
      const { re, im } = answerAt(sent, hz);
      expect(Math.abs(re - 1), `${hz} Hz`).toBeLessThan(1e-3);
      expect(Math.abs(im), `${hz} Hz`).toBeLessThan(1e-3);
    }
  });

  it("gives the magnitude and phase of a filter that the sweep went through", () => {
    // closed form: y(n) = (1 − a)·x(n) + a·y(n − 1) has H = (1 − a)/(1 − a·e^(−jω))
    const a = 0.9;
    let y = 0;
    const recorded = sent.map((x) => {
      y = (1 - a) * x + a * y;
      return y;
    });
    for (const hz of frequencies) {
      const w = (2 * Math.PI * hz) / rate;
      const dr = 1 - a * Math.cos(w);
      const di = a * Math.sin(w);
      const size = dr * dr + di * di;
      const { re, im } = answerAt(recorded, hz);
      expect(Math.hypot(re - ((1 - a) * dr) / size, im + ((1 - a) * di) / size)).toBeLessThan(1e-3);
    }
  });

  it("takes the offset off", () => {
    const off = sent.map((x) => -0.5 * x + 0.3);
    for (const hz of frequencies) {
      const { re, im } = answerAt(off, hz, 0.3);
      expect(Math.hypot(re + 0.5, im), `${hz} Hz`).toBeLessThan(1e-3);
    }
  });

  it("puts an echo at its time, and the second harmonic at −L·ln 2", () => {
    // source: Novak et al. 2015, eq. 38, L = T/ln(f₂/f₁)
    const echo = 2400;
    const recorded = sent.map((x, n) => x + 0.1 * x * x + 0.25 * (n >= echo ? sent[n - echo] : 0));
    const { samples } = deconvolve(reference, recorded, 0);
    const peakNear = (place: number) => {
      let best = place - 40;
      for (let n = place - 40; n <= place + 40; n++) {
        const at = (i: number) => Math.abs(samples[(i + samples.length) % samples.length]);
        if (at(n) > at(best)) best = n;
      }
      return best;
    };
    expect(peakNear(0)).toBe(0);
    expect(peakNear(echo)).toBe(echo);
    const early = ((seconds * rate) / Math.log(toHz / fromHz)) * Math.LN2;
    expect(Math.abs(peakNear(-Math.round(early)) + early)).toBeLessThan(2);
  });
});

describe("createHighPassShape", () => {
  const shaping = createHighPassShape({ fromHz: 10 });

  it("has the magnitude of a fourth-order Butterworth high-pass at 1.8 times the beginning", () => {
    // closed form: |H|² = 1/(1 + (fc/f)⁸)
    for (const hz of [5, 18, 30, 100, 1000]) {
      const { re, im } = shaping(hz);
      expect(re * re + im * im).toBeCloseTo(1 / (1 + (18 / hz) ** 8), 12);
    }
    expect(shaping(0)).toEqual({ re: 0, im: 0 });
  });

  it("has turned by 180 degrees at its corner, and leads", () => {
    // four poles evenly on the left half of a circle: 4·45° at the corner; H(jf) → 1 from above
    const { re, im } = shaping(18);
    expect(re).toBeCloseTo(-Math.SQRT1_2, 12);
    expect(im).toBeCloseTo(0, 12);
    expect(shaping(1000).im).toBeGreaterThan(0);
  });
});

describe("gateResponseAt", () => {
  const size = 4096;
  const response = (fill: (n: number) => number) => ({
    samples: makeSamples(size, (n) => fill(n)),
    sampleRate: 1000,
  });
  const outer: Gate = { beforeS: 0.1, fadeInS: 0.1, afterS: 0.3, fadeOutS: 0.15 };

  it("lets in what closed form says of its flanks", () => {
    // a raised-cosine flank of n samples has a sum of n/2 and a sum of squares of 3n/8
    const { spectrum, noiseSamples, stepHz } = gateResponseAt(
      response(() => 1),
      0,
      outer,
    );
    expect(spectrum[0]).toBeCloseTo(50 + 150 + 75, 6);
    expect(noiseSamples).toBeCloseTo((3 / 8) * 100 + 150 + (3 / 8) * 150, 6);
    expect(stepHz).toBe(1000 / 1024);
  });

  it("hears what lies across the ends of the circle, its centre as time zero", () => {
    // an impulse inside the flat part is an impulse: 1 at every frequency, turned by its delay
    for (const centre of [2, 500, size - 3]) {
      const at = (centre + 40) % size;
      const gated = gateResponseAt(
        response((n) => (n === at ? 1 : 0)),
        centre / 1000,
        outer,
      );
      for (const hz of [3, 100, 317]) {
        const { re, im } = computeSpectrum(gated, hz);
        const turn = 2 * Math.PI * hz * 0.04;
        expect(Math.hypot(re - Math.cos(turn), im + Math.sin(turn))).toBeLessThan(0.01);
      }
    }
    const before = gateResponseAt(
      response((n) => (n === size - 50 ? 1 : 0)),
      0,
      outer,
    );
    // half-way up the flank
    expect(before.spectrum[0]).toBeCloseTo(0.5, 9);
  });

  it("leaves out what an inner gate holds", () => {
    const inner: Gate = { beforeS: 0.05, fadeInS: 0.05, afterS: 0.1, fadeOutS: 0.05 };
    const { spectrum } = gateResponseAt(
      response(() => 1),
      0,
      outer,
      inner,
    );
    expect(spectrum[0]).toBeCloseTo(275 - (25 + 50 + 25), 6);
  });

  it("is what gateResponse opens around time zero: its first half flank before, its last third after", () => {
    const { spectrum, gate: opened } = gateResponse(
      response(() => 1),
      0.1,
      0.3,
    );
    expect(opened).toMatchObject({ beforeS: 0.1, fadeInS: 0.05, afterS: 0.3 });
    expect(opened.fadeOutS).toBeCloseTo(0.1, 12);
    expect(spectrum[0]).toBeCloseTo(75 + 200 + 50, 6);
  });
});

describe("computeSpectrum", () => {
  it("is the transform between its bins, by definition", () => {
    const samples = makeSamples(2048, (n) => Math.exp(-n / 20) * Math.cos(n));
    const gated = gateResponse({ samples, sampleRate: 1000 }, 0.01, 0.3);
    for (const hz of [10.3, 77.77, 159.155, 301.2, 480]) {
      let re = 0;
      let im = 0;
      // time zero lies on the end of the flank, where the gate is open
      for (let n = 0; n < 200; n++) {
        re += samples[n] * Math.cos((2 * Math.PI * hz * n) / 1000);
        im -= samples[n] * Math.sin((2 * Math.PI * hz * n) / 1000);
      }
      const got = computeSpectrum(gated, hz);
      expect(Math.hypot(got.re - re, got.im - im), `${hz} Hz`).toBeLessThan(1e-3);
    }
  });
});

describe("computeGatePower", () => {
  const shape: Gate = { beforeS: 0.1, fadeInS: 0.1, afterS: 0.3, fadeOutS: 0.15 };

  /** |∫ w(t)·e^(−jωt) dt|² of the gate, by the trapezoidal rule in steps of 10 µs. */
  function transform(offsetHz: number): number {
    const step = 1e-5;
    let re = 0;
    let im = 0;
    for (let n = 0; n <= 40_000; n++) {
      const t = n * step;
      const rise = t < 0.1 ? 0.5 - 0.5 * Math.cos((Math.PI * t) / 0.1) : 1;
      const fall = t > 0.25 ? 0.5 - 0.5 * Math.cos((Math.PI * (0.4 - t)) / 0.15) : 1;
      re += rise * fall * Math.cos(2 * Math.PI * offsetHz * t) * step;
      im += rise * fall * Math.sin(2 * Math.PI * offsetHz * t) * step;
    }
    return re * re + im * im;
  }

  it.each([0, 0.5, 1, -1, 2, 3])(
    "is the gate's squared transform %d Hz from a line",
    (offsetHz) => {
      expect(computeGatePower(shape, offsetHz) / transform(offsetHz)).toBeCloseTo(1, 3);
    },
  );

  it("is the mean over a lobe beyond the main one", () => {
    // Lobes are as wide as 1/0.275 s, the time between the middles of the flanks.
    for (const hz of [20, 40]) {
      const count = 40;
      let sum = 0;
      for (let i = 0; i < count; i++) sum += transform(hz + ((i + 0.5) / count - 0.5) / 0.275);
      expect(computeGatePower(shape, hz) / (sum / count)).toBeGreaterThan(0.6);
      expect(computeGatePower(shape, hz) / (sum / count)).toBeLessThan(1.6);
    }
  });

  it("is smooth where a flank is half a period of the offset", () => {
    // x = 1 in cos(πx/2)/(1 − x²), whose limit is π/4
    const at = computeGatePower(shape, 1 / (2 * 0.1));
    expect(at / computeGatePower(shape, 1 / (2 * 0.1) + 1e-4)).toBeCloseTo(1, 3);
  });
});
