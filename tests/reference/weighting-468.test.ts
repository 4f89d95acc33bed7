import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { createFrequencyFilter } from "../../src/dsp/frequency-filter.js";
import { compute468Weighting } from "../../src/dsp/weighting.js";
import { makeSamples } from "../helpers/samples.js";

// Source: Recommendation ITU-R BS.468-4, Table 1; tests/reference/weighting-468.json.
const { table1 } = JSON.parse(readFileSync(new URL("weighting-468.json", import.meta.url), "utf8"));
const rates = [44_100, 48_000, 88_200, 96_000, 176_400, 192_000];
/** What the network may differ from the table by: its rounding of 0.05 dB and its own 0.01 dB. */
const allowedDb = 0.06;

const factorAt = (rate: number) => (rate < 80_000 ? 2 : 1);
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

describe("the BS.468 weighting", () => {
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
    const tone = makeSamples(4800, (n) => Math.sin((2 * Math.PI * hz * n) / rate));
    const answer = filter.apply(tone);
    const { re, im } = compute468Weighting(hz);
    for (let n = 2000; n < 4000; n++) {
      const turn = (2 * Math.PI * hz * n) / (2 * rate);
      expect(Math.abs(answer[n] - (re * Math.sin(turn) + im * Math.cos(turn)))).toBeLessThan(5e-4);
    }
  });
});
