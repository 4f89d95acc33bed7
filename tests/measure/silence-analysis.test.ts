import { describe, expect, it } from "vitest";
import { welch } from "../../src/dsp/welch.js";
import { isAbsent } from "../../src/measure/absence.js";
import { analyzeSilence, silenceSegmentS } from "../../src/measure/silence-analysis.js";
import { gaussian } from "../helpers/noise.js";
import { quietReturn } from "../helpers/quiet-return.js";

describe("analyzeSilence", () => {
  it("puts back the noise that was fitted as part of the lines, at each of them", () => {
    // closed form: white noise of σ has 2σ²/fs per hertz, and a line that was fitted over T seconds
    // takes 1/T hertz of it along; the density of one bin lacks that share of its width
    const sigma = 1e-5;
    const hz = 49.93;
    const lines = 60;
    const next = gaussian(5);
    // 2·10⁻⁵·Σ cos(kφ + k²) by Clenshaw's recurrence, its cosines and sines apart.
    const cosines = Array.from({ length: lines + 1 }, (_, k) => (k === 0 ? 0 : Math.cos(k * k)));
    const sines = Array.from({ length: lines + 1 }, (_, k) => (k === 0 ? 0 : Math.sin(k * k)));
    const audio = quietReturn(
      (t) => {
        const phi = 2 * Math.PI * hz * t;
        const turn = 2 * Math.cos(phi);
        let [c1, c2, s1, s2] = [0, 0, 0, 0];
        for (let k = lines; k >= 1; k--) {
          const c = cosines[k] + turn * c1 - c2;
          const s = sines[k] + turn * s1 - s2;
          c2 = c1;
          c1 = c;
          s2 = s1;
          s1 = s;
        }
        return sigma * next() + 2e-5 * (c1 * Math.cos(phi) - c2 - s1 * Math.sin(phi));
      },
      { sampleRate: 16_000 },
    );
    const analysis = analyzeSilence(audio);
    if (isAbsent(analysis) || analysis.lines === undefined) throw new Error("no lines");
    const { density, stepHz } = analysis.spectrum;
    const { density: left } = welch(analysis.hiss, audio.sampleRate, silenceSegmentS);
    const added = density.map((power, k) => power - left[k]);
    // Above the strongest lines every multiple is fitted.
    const orders = analysis.lines.higher.map(({ order }) => order);
    expect(orders.slice(0, 20)).toEqual(Array.from({ length: 20 }, (_, k) => 41 + k));
    const first = Array.from({ length: 40 }, (_, k) => k + 1);
    const bins = (own: readonly number[]) => own.map((k) => Math.round((k * hz) / stepHz));
    const places = new Set(bins([...first, ...orders]));
    const share = 1 / (analysis.lines.seconds * stepHz);
    const expected = ((2 * sigma ** 2) / audio.sampleRate) * share;
    const mean = (all: readonly number[]) => all.reduce((sum, x) => sum + x, 0) / all.length;
    // The noise beneath single lines is estimated from a few bins each, to a half or so.
    for (const own of [bins(first), bins(orders)]) {
      expect(mean(own.map((k) => added[k])) / expected).toBeGreaterThan(0.75);
      expect(mean(own.map((k) => added[k])) / expected).toBeLessThan(1.25);
      for (const k of own) expect(added[k] / expected, `bin ${k}`).toBeGreaterThan(0.2);
    }
    const elsewhere = Array.from(added.keys()).filter((k) => !places.has(k));
    expect(Math.max(...elsewhere.map((k) => added[k]))).toBe(0);
  });
});
