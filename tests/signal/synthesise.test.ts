import { describe, expect, it } from "vitest";
import { buildSignalTable, chirp, toneFadeS } from "../../src/signal/signal-table.js";
import {
  computePeakAmplitude,
  renderChirp,
  renderSegment,
  synthesise,
} from "../../src/signal/synthesise.js";

describe("synthesise", () => {
  it("gives a chirp of phase f0·t + (f1−f0)·t²/(2T) cycles, to rounding, on any clock", () => {
    // closed form of a linear chirp
    for (const stepS of [1 / 48_000, 1 / 44_100 / (1 + 2e-4), 1 / 192_000]) {
      const startS = -3.37 * stepS;
      const out = new Float64Array(Math.ceil(0.16 / stepS));
      renderChirp(0.5, startS, stepS, out);
      const { fromHz, toHz, lengthS } = chirp;
      let worst = 0;
      out.forEach((y, i) => {
        const t = startS + i * stepS;
        const inside = t >= 0 && t < lengthS;
        const edge = Math.min(t, lengthS - t);
        const flank = edge < toneFadeS ? 0.5 - 0.5 * Math.cos((Math.PI * edge) / toneFadeS) : 1;
        const cycles = fromHz * t + ((toHz - fromHz) * t * t) / (2 * lengthS);
        const exact = inside ? 0.5 * flank * Math.sin(2 * Math.PI * cycles) : 0;
        worst = Math.max(worst, Math.abs(y - exact));
      });
      expect(worst).toBeLessThan(1e-11);
    }
  });

  it("gives a synchronised sweep: f1·L is an integer and harmonics start in phase (Novak et al. 2015)", () => {
    for (const profile of ["quick", "standard", "full"] as const) {
      for (const band of ["base", "wide"] as const) {
        const sweep = buildSignalTable(profile, band).segments.find((s) => s.kind === "sweep");
        if (sweep?.kind !== "sweep") throw new Error("no sweep");
        const turns = sweep.fromHz * sweep.rateS;
        expect(Math.abs(turns - Math.round(turns))).toBeLessThan(1e-9);
        // instantaneous frequency f1·exp(t/L) ends at the band's edge
        expect(sweep.fromHz * Math.exp(sweep.sweepS / sweep.rateS)).toBeCloseTo(sweep.toHz, 4);
        expect(sweep.sweepS).toBeLessThan(sweep.lengthS);
      }
    }
  });

  it("keeps every level that its table states", () => {
    const table = buildSignalTable("standard", "base");
    const signal = synthesise(table, 48_000);
    for (const segment of table.segments) {
      const part = signal.subarray(
        Math.ceil(segment.startS * 48_000),
        Math.floor((segment.startS + segment.lengthS) * 48_000),
      );
      const peak = part.reduce((m, x) => Math.max(m, Math.abs(x)), 0);
      if (segment.kind === "silence") expect(peak).toBe(0);
      else if (segment.kind === "steps") {
        expect(peak).toBeCloseTo(computePeakAmplitude(Math.max(...segment.levelsDbfs)), 3);
      } else if (segment.kind === "twin") {
        // 19 and 20 kHz repeat every 48 samples at this rate and miss their common peak
        expect(peak).toBeLessThanOrEqual(computePeakAmplitude(segment.levelDbfs));
        expect(peak).toBeGreaterThan(0.95 * computePeakAmplitude(segment.levelDbfs));
      } else expect(peak).toBeCloseTo(computePeakAmplitude(segment.levelDbfs), 3);
    }
  });

  it("renders a segment at fractional times the same as the whole", () => {
    const table = buildSignalTable("quick", "base");
    const whole = synthesise(table, 48_000);
    const tone = table.segments.find((s) => s.name === "tone-1k");
    if (!tone) throw new Error("no tone");
    const part = new Float64Array(1000);
    const first = Math.round(tone.startS * 48_000) + 5000;
    renderSegment(tone, first / 48_000 - tone.startS, 1 / 48_000, part);
    part.forEach((x, i) => {
      expect(Math.abs(x - whole[first + i])).toBeLessThan(1e-12);
    });
  });
});
