import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { createFrequencyFilter } from "../../src/dsp/frequency-filter.js";
import { createQuasiPeakMeter } from "../../src/dsp/quasi-peak.js";
import { compute468Weighting } from "../../src/dsp/weighting.js";
import { makeSamples } from "../helpers/samples.js";

// Source: Recommendation ITU-R BS.468-4, Tables 2 and 3; tests/reference/weighting-468.json.
const { table2, table3 } = JSON.parse(
  readFileSync(new URL("../reference/weighting-468.json", import.meta.url), "utf8"),
);
const rates = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];

const factorAt = (rate: number) => (rate < 80_000 ? 2 : 1);
const meterFor = (rate: number) => {
  const filter = createFrequencyFilter(compute468Weighting, rate, factorAt(rate));
  return (samples: Float64Array) => {
    const meter = createQuasiPeakMeter(rate * filter.factor);
    const weighted = filter.apply(samples);
    return {
      over: (fromS: number, toS: number) =>
        meter.read(
          weighted,
          Math.round(fromS * rate) * filter.factor,
          Math.round(toS * rate) * filter.factor,
        ),
    };
  };
};

/** Bursts of 5 kHz that begin at a zero crossing; `everyS` apart. */
function bursts(rate: number, lengthS: number, everyS: number, seconds: number): Float64Array {
  return makeSamples(Math.round(seconds * rate), (n) => {
    const t = (n / rate) % everyS;
    return t < lengthS - 1e-9 ? Math.sin(2 * Math.PI * 5000 * t) : 0;
  });
}

describe("quasiPeakMeter", () => {
  it.each(rates)("reads the r.m.s. value of a steady 1 kHz sine at %i Hz", (rate) => {
    // source: BS.468-4, calibration
    const tone = makeSamples(3 * rate, (n) => Math.sin((2 * Math.PI * 1000 * n) / rate));
    const meter = meterFor(rate)(tone);
    meter.over(0, 2);
    const { mean } = meter.over(2, 2.9);
    expect(Math.abs(20 * Math.log10(mean * Math.SQRT2))).toBeLessThan(0.01);
  });

  it.each(rates)("reads every single burst of Table 2 inside its limits at %i Hz", (rate) => {
    const steady = meterFor(rate)(bursts(rate, 9, 9, 3));
    steady.over(0, 2);
    const full = steady.over(2, 2.9).mean;
    table2.burstMs.forEach((ms: number, i: number) => {
      const { highest } = meterFor(rate)(bursts(rate, ms / 1000, 9, 0.5)).over(0, 0.5);
      const percent = (100 * highest) / full;
      expect(percent, `${ms} ms`).toBeGreaterThan(table2.lowerPercent[i]);
      expect(percent, `${ms} ms`).toBeLessThan(table2.upperPercent[i]);
    });
  });

  it.each(rates)("reads every burst train of Table 3 inside its limits at %i Hz", (rate) => {
    const steady = meterFor(rate)(bursts(rate, 9, 9, 3));
    steady.over(0, 2);
    const full = steady.over(2, 2.9).mean;
    table3.burstsPerSecond.forEach((perS: number, i: number) => {
      const train = meterFor(rate)(bursts(rate, 0.005, 1 / perS, 4));
      train.over(0, 3);
      const percent = (100 * train.over(3, 4).highest) / full;
      expect(percent, `${perS} a second`).toBeGreaterThan(table3.lowerPercent[i]);
      expect(percent, `${perS} a second`).toBeLessThan(table3.upperPercent[i]);
    });
  });

  it("is held to nothing by no samples, and reads in proportion", () => {
    const tone = makeSamples(48_000, (n) => Math.sin((2 * Math.PI * 1000 * n) / 96_000));
    const meter = createQuasiPeakMeter(96_000);
    expect(meter.read(tone, 10, 10)).toEqual({ mean: 0, highest: 0 });
    const one = meter.read(tone, 0, tone.length);
    const tenth = createQuasiPeakMeter(96_000).read(
      tone.map((x) => -x / 10),
      0,
      tone.length,
    );
    expect(tenth.mean / one.mean).toBeCloseTo(0.1, 9);
    expect(tenth.highest / one.highest).toBeCloseTo(0.1, 9);
    expect(one.highest).toBeGreaterThan(one.mean);
  });

  it("reads a tone at a part of the sample rate as high as one beside it, whatever its phase", () => {
    // closed form: the rectified sine is the same whichever of its instants were sampled
    for (const [rate, hz] of [
      [96_000, 12_000],
      [96_000, 16_000],
      [88_200, 14_700],
    ]) {
      const reads = (turn: number, off: number) => {
        const tone = makeSamples(3 * rate, (n) =>
          Math.sin(2 * Math.PI * (((hz + off) * n) / rate + turn)),
        );
        const meter = createQuasiPeakMeter(rate);
        meter.read(tone, 0, 2 * rate);
        return meter.read(tone, 2 * rate, tone.length).mean;
      };
      const beside = reads(0, 7.3);
      for (const turn of [0, 1 / 24, 1 / 16, 1 / 12, 1 / 8]) {
        const off = 20 * Math.log10(reads(turn, 0) / beside);
        expect(Math.abs(off), `${hz} Hz, ${turn}`).toBeLessThan(0.03);
      }
    }
  });

  it("falls back to the lowest of a stretch", () => {
    const rate = 96_000;
    const meter = createQuasiPeakMeter(rate);
    const train = bursts(rate, 0.005, 0.5, 4);
    meter.read(train, 0, 3 * rate);
    // The pointer is lowest just before a burst, and a burst after that reads what all of them do.
    meter.read(train, 3 * rate, Math.round(3.52 * rate));
    meter.fallBack();
    const { highest } = meter.read(train, 3.5 * rate, 4 * rate);
    const usual = createQuasiPeakMeter(rate);
    usual.read(train, 0, 3.5 * rate);
    expect(highest / usual.read(train, 3.5 * rate, 4 * rate).highest).toBeCloseTo(1, 3);
  });

  it("falls in silence as a capacitor that is discharged does, by one exponential", () => {
    // closed form: past the moment at which the first stage fell below the second, nothing charges it,
    // and equal times take equal shares of it away
    const rate = 96_000;
    const meter = createQuasiPeakMeter(rate);
    const sound = makeSamples(3 * rate, (n) => (n < rate ? Math.sin(0.3 * n) : 0));
    meter.read(sound, 0, 2.2 * rate);
    const [first, second, third] = [2.2, 2.4, 2.6].map(
      (s) => meter.read(sound, Math.round(s * rate), Math.round((s + 0.2) * rate)).mean,
    );
    expect(first).toBeGreaterThan(0);
    expect(second / first / (third / second)).toBeCloseTo(1, 9);
  });

  it("reads a stretch alike however it is cut", () => {
    // Source: a meter hears one signal, whoever cuts it; 5 kHz keeps it charging at every cut.
    const tone = makeSamples(9600, (n) => Math.sin((2 * Math.PI * 5000 * n) / 96_000 + 0.4));
    const whole = createQuasiPeakMeter(96_000).read(tone, 0, tone.length);
    for (const length of [1, 37, 64, 1000]) {
      const meter = createQuasiPeakMeter(96_000);
      let sum = 0;
      let highest = 0;
      for (let at = 0; at < tone.length; at += length) {
        const to = Math.min(tone.length, at + length);
        const part = meter.read(tone, at, to);
        sum += part.mean * (to - at);
        highest = Math.max(highest, part.highest);
      }
      expect(sum / tone.length / whole.mean, `${length}`).toBeCloseTo(1, 12);
      expect(highest / whole.highest, `${length}`).toBeCloseTo(1, 12);
    }
  });

  it("keeps its state from call to call", () => {
    const noise = makeSamples(30_000, (n) => Math.sin(0.1 * n * n));
    const whole = createQuasiPeakMeter(96_000).read(noise, 0, noise.length);
    const meter = createQuasiPeakMeter(96_000);
    const first = meter.read(noise, 0, 10_001);
    const rest = meter.read(noise, 10_001, noise.length);
    expect(Math.max(first.highest, rest.highest)).toBe(whole.highest);
    expect((10_001 * first.mean + 19_999 * rest.mean) / 30_000).toBeCloseTo(whole.mean, 12);
  });
});
