import { describe, expect, it } from "vitest";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";

describe("buildOctaveGrid", () => {
  it("has the exact midband frequencies of third octaves from 20 Hz to 20 kHz", () => {
    // source: IEC 61260-1, Annex, exact base-ten midbands to five places
    const printed = [
      19.953, 25.119, 31.623, 39.811, 50.119, 63.096, 79.433, 100, 125.89, 158.49, 199.53, 251.19,
      316.23, 398.11, 501.19, 630.96, 794.33, 1000, 1258.9, 1584.9, 1995.3, 2511.9, 3162.3, 3981.1,
      5011.9, 6309.6, 7943.3, 10_000, 12_589, 15_849, 19_953,
    ];
    const grid = buildOctaveGrid(3, 20, 20_000);
    expect(grid).toHaveLength(printed.length);
    printed.forEach((hz, i) => {
      expect(Math.abs(grid[i] / hz - 1)).toBeLessThan(3e-5);
    });
  });

  it.each([1, 3, 6, 12, 24])(
    "holds 1 kHz itself and ten times every frequency, 1/%i octave",
    (b) => {
      const grid = buildOctaveGrid(b, 20, 20_000);
      expect(grid).toContain(1000);
      // closed form: neighbours stand 10^(3/(10·b)) apart, about 2^(1/b)
      for (let i = 1; i < grid.length; i++) {
        expect(grid[i] / grid[i - 1]).toBeCloseTo(10 ** (3 / (10 * b)), 12);
      }
    },
  );

  it("leaves out what lies beyond the nominal ends", () => {
    expect(buildOctaveGrid(3, 990, 1010)).toEqual([1000]);
    expect(buildOctaveGrid(3, 1010, 1200)).toEqual([]);
  });
});
