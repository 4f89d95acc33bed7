import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computeNoiseBands, computeNoiseCurve } from "../../src/measure/noise-bands.js";
import { noise } from "../../src/measure/readings/noise.js";
import { createReturnContext } from "../../src/measure/return-context.js";
import { assertMade } from "../helpers/made.js";
import { quietReturn } from "../helpers/quiet-return.js";

// Source: scipy.signal.welch on the same samples, third-octave bands with exact edges
// (IEC 61260-1); tests/reference/scipy/third-octaves.py made the file.
const scipy = JSON.parse(
  readFileSync(new URL("scipy/third-octaves.json", import.meta.url), "utf8"),
);

function samples() {
  let state = 12345;
  let last = 0;
  return quietReturn(() => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    last = state / 2 ** 32 - 0.5 + 0.9 * last;
    return 1e-4 * last;
  });
}

describe("the third-octave spectrum of the noise", () => {
  const context = createReturnContext(samples());

  it("agrees with scipy's on the same samples", () => {
    const curve = computeNoiseCurve(context);
    assertMade(curve);
    curve.x.forEach((hz, i) => {
      expect(hz).toBeCloseTo(scipy.midbandHz[i], 6);
    });
    expect(curve.y).toHaveLength(scipy.levelDbfs.length);
    curve.y.forEach((db, i) => {
      expect(Math.abs(db - scipy.levelDbfs[i]), `${curve.x[i]} Hz`).toBeLessThan(1e-6);
    });
    const reading = noise.read(context);
    assertMade(reading);
    expect(Math.abs(reading.value - scipy.noiseDbfs)).toBeLessThan(1e-6);
  });

  it("has bands whose edges meet, at the midbands times G to the power of ±1/6", () => {
    // source: IEC 61260-1, 5.5: edges f_m·G^(±1/6), G = 10^(3/10)
    const quiet = context.quiet();
    assertMade(quiet);
    const bands = computeNoiseBands(quiet, 25, 20_000);
    bands.forEach(({ hz, widthHz }, i) => {
      expect(widthHz / hz).toBeCloseTo(10 ** 0.05 - 10 ** -0.05, 12);
      if (i > 0) expect(hz / bands[i - 1].hz).toBeCloseTo(10 ** 0.1, 12);
    });
  });
});
