import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { createFrequencyFilter } from "../../src/dsp/frequency-filter.js";
import { createQuasiPeakMeter } from "../../src/dsp/quasi-peak.js";
import { compute468Weighting } from "../../src/dsp/weighting.js";

// Source: Recommendation ITU-R BS.468-4, Tables 1, 2 and 3; tests/reference/weighting-468.json.
const { table1, table2, table3 } = JSON.parse(
  readFileSync(new URL("weighting-468.json", import.meta.url), "utf8"),
);
const rates = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];
/** What the network may differ from the table by: its rounding of 0.05 dB and its own 0.01 dB. */
const allowedDb = 0.06;

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

/** Gain of the filter in time at a frequency, from its answer to an impulse. */
function gainDb(rate: number, hz: number): number {
  const filter = createFrequencyFilter(compute468Weighting, rate, factorAt(rate));
  const impulse = new Float64Array(8192);
  impulse[4096] = 1;
  const answer = filter.apply(impulse);
  let re = 0;
  let im = 0;
  answer.forEach((y, n) => {
    const turn = (2 * Math.PI * hz * n) / (rate * filter.factor);
    re += y * Math.cos(turn);
    im -= y * Math.sin(turn);
  });
  return 20 * Math.log10(Math.hypot(re, im) / filter.factor);
}

/** Bursts of 5 kHz that begin at a zero crossing; `everyS` apart. */
function bursts(rate: number, lengthS: number, everyS: number, seconds: number): Float64Array {
  return Float64Array.from({ length: Math.round(seconds * rate) }, (_, n) => {
    const t = (n / rate) % everyS;
    return t < lengthS - 1e-9 ? Math.sin(2 * Math.PI * 5000 * t) : 0;
  });
}

describe("the BS.468 weighting", () => {
  it("gives every value of Table 1 as a formula", () => {
    table1.hz.forEach((hz: number, i: number) => {
      const { re, im } = compute468Weighting(hz);
      const db = 20 * Math.log10(Math.hypot(re, im));
      expect(Math.abs(db - table1.responseDb[i]), `${hz} Hz`).toBeLessThan(allowedDb);
    });
  });

  it.each(rates)("gives every value of Table 1 as a filter in time at %i Hz", (rate) => {
    table1.hz.forEach((hz: number, i: number) => {
      if (hz > 0.46 * rate) return;
      const off = Math.abs(gainDb(rate, hz) - table1.responseDb[i]);
      expect(off, `${hz} Hz`).toBeLessThan(allowedDb);
    });
  });

  it("has the phase of the analogue network, not only its magnitude", () => {
    // closed form: steady answer to a sine is |H|·sin(ωt + arg H)
    const rate = 48_000;
    const filter = createFrequencyFilter(compute468Weighting, rate, 2);
    const hz = 7350;
    const tone = Float64Array.from({ length: 4800 }, (_, n) =>
      Math.sin((2 * Math.PI * hz * n) / rate),
    );
    const answer = filter.apply(tone);
    const { re, im } = compute468Weighting(hz);
    for (let n = 2000; n < 4000; n++) {
      const turn = (2 * Math.PI * hz * n) / (2 * rate);
      expect(Math.abs(answer[n] - (re * Math.sin(turn) + im * Math.cos(turn)))).toBeLessThan(5e-4);
    }
  });
});

describe("quasiPeakMeter", () => {
  it.each(rates)("reads the r.m.s. value of a steady 1 kHz sine at %i Hz", (rate) => {
    // source: BS.468-4, calibration
    const tone = Float64Array.from({ length: 3 * rate }, (_, n) =>
      Math.sin((2 * Math.PI * 1000 * n) / rate),
    );
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
});
