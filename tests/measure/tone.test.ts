import { describe, expect, it } from "vitest";
import { isAbsent } from "../../src/measure/absence.js";
import { analyzeTone } from "../../src/measure/tone.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import { gaussian } from "../helpers/noise.js";

describe("the noise of a tone's amplitudes", () => {
  const rate = 48_000;
  const table = buildSignalTable("standard", "base");
  const stdDev = 1e-4;

  /** Variances stated for a tone of some length in white noise, twenty times over. */
  function variancesOf(lengthS: number): readonly number[] {
    return Array.from({ length: 20 }, (_, k) => {
      const next = gaussian(400 + k);
      const samples = Float64Array.from(
        { length: (lengthS + 0.1) * rate },
        (_, n) => 0.1 * Math.cos((2 * Math.PI * 1000 * n) / rate) + stdDev * next(),
      );
      const audio = { samples, origin: 0, clock: rate, sampleRate: rate, table, mainsHz: 50 };
      const tone = analyzeTone(audio, 0, lengthS, 1000, -18, undefined);
      if (isAbsent(tone)) throw new Error(tone.absent.code);
      return Array.from(tone.variances);
    }).flat();
  }

  it.each([
    ["a step of the ladder", 0.2],
    ["a tone", 1],
  ])("is known of %s from some forty degrees of freedom", (_, lengthS) => {
    const found = variancesOf(lengthS);
    const mean = found.reduce((sum, v) => sum + v, 0) / found.length;
    const squares = found.reduce((sum, v) => sum + (v - mean) ** 2, 0) / found.length;
    // S/T (Kay 1993, ex. 3.14) of one-sided density S = 2σ²/rate, over what is left of the tone after
    // 80 ms and before 15 ms.
    const expected = (2 * stdDev ** 2) / rate / (lengthS - 0.095);
    expect(Math.abs(mean / expected - 1)).toBeLessThan(0.08);
    // Of χ² with ν degrees of freedom the relative deviation is √(2/ν): 0.26 for 30, 0.37 for 14.
    expect(Math.sqrt(squares) / mean).toBeLessThan(0.3);
  });
});
