import { describe, expect, it } from "vitest";
import type { Conditions } from "../../../src/history/compare/conditions.js";
import type { PathPair } from "../../../src/history/compare/path-pairs.js";
import { compareReadings } from "../../../src/history/compare/readings.js";
import type { Reading } from "../../../src/measure/types.js";

// Expected: differences of the figures given; what all did alike is their median.

const conditions: Conditions = {
  calibration: "same",
  refused: () => undefined,
  differences: [],
  partial: [],
};

function pair(path: number, then: number, now: Partial<Reading> & { readonly value: number }) {
  const thd = (given: Partial<Reading> & { readonly value: number }): Reading => ({
    unit: "dB",
    uncertainty: 0.1,
    ...given,
  });
  const side = (reading: Reading) => ({ readings: { thd: reading }, absent: {}, curves: {} });
  const both = { earlier: side(thd({ value: then })), later: side(thd(now)) };
  return { path: `${path}/mic`, family: "mic", ...both } satisfies PathPair;
}

describe("compareReadings", () => {
  it("takes off what three siblings did alike, and of two knows no crowd", () => {
    const family = (count: number) =>
      Array.from({ length: count }, (_, k) => pair(k, -80, { value: -75 + 0.01 * k }));
    const own = (count: number) =>
      compareReadings(family(count), conditions).sides.map(({ readings: [thd] }) => thd);
    for (const thd of own(3)) {
      expect(thd.shift).toBeCloseTo(5.01, 6);
      expect(Math.abs(thd.own)).toBeLessThan(0.02);
      expect(thd.real).toBe(false);
    }
    for (const thd of own(2)) {
      expect(thd).not.toHaveProperty("shift");
      expect(thd.own).toBeCloseTo(5, 1);
    }
  });

  it("counts only siblings with a definite difference into what all did", () => {
    const family = [0, 1, 2, 3, 4].map((k) => pair(k, -80, { value: -70 + 0.01 * k }));
    const drowned = pair(5, -80, { value: -60, bound: "upper", limitedBy: "noise" });
    const { shifts } = compareReadings([...family, drowned], conditions);
    expect(shifts).toHaveLength(1);
    expect(shifts[0]).toMatchObject({ reading: "thd", family: "mic", paths: 5, course: "worse" });
    expect(shifts[0].shift).toBeCloseTo(10.02, 6);
  });
});
