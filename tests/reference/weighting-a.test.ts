import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { computeAWeighting } from "../../src/dsp/weighting.js";

// Source: IEC 61672-1, table of frequency weightings (nominal values, rounded to 0.1 dB) at the
// exact frequencies 1000·10^(n/10) Hz; tests/reference/weighting-a.json.
const table = JSON.parse(readFileSync(new URL("weighting-a.json", import.meta.url), "utf8"));

describe("aWeighting", () => {
  it("gives every tabulated value of IEC 61672-1 within its rounding of 0.05 dB", () => {
    table.responseDb.forEach((expected: number, i: number) => {
      const hz = 1000 * 10 ** ((i - 20) / 10);
      expect(Math.abs(20 * Math.log10(computeAWeighting(hz)) - expected), `${hz} Hz`).toBeLessThan(
        0.0501,
      );
    });
  });
});
