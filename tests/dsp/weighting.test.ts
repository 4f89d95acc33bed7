import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { compute468Weighting, computeAWeighting } from "../../src/dsp/weighting.js";

const read = (name: string) =>
  JSON.parse(readFileSync(new URL(`../reference/${name}`, import.meta.url), "utf8"));
// Source: IEC 61672-1, table of frequency weightings (nominal values, rounded to 0.1 dB) at the
// exact frequencies 1000·10^(n/10) Hz; tests/reference/weighting-a.json.
const table = read("weighting-a.json");
// Source: Recommendation ITU-R BS.468-4, Table 1; tests/reference/weighting-468.json.
const { table1 } = read("weighting-468.json");
/** What the network may differ from the table by: its rounding of 0.05 dB and its own 0.01 dB. */
const allowedDb = 0.06;

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

describe("compute468Weighting", () => {
  it("gives every value of Table 1 as a formula", () => {
    table1.hz.forEach((hz: number, i: number) => {
      const { re, im } = compute468Weighting(hz);
      const db = 20 * Math.log10(Math.hypot(re, im));
      expect(Math.abs(db - table1.responseDb[i]), `${hz} Hz`).toBeLessThan(allowedDb);
    });
  });

  it("is 1 at 1 kHz in magnitude, and leads below its peak", () => {
    // one zero at 0 and poles far above: the phase comes from +90 degrees
    const low = compute468Weighting(1);
    expect(Math.atan2(low.im, low.re)).toBeCloseTo(Math.PI / 2, 2);
    const { re, im } = compute468Weighting(1000);
    expect(Math.hypot(re, im)).toBeCloseTo(1, 12);
  });
});
