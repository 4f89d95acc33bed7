import { describe, expect, it } from "vitest";
import {
  computePathFingerprint,
  computeUnlikeness,
  gainFeature,
} from "../../../src/history/order/fingerprint.js";
import type { Reading } from "../../../src/measure/types.js";

// Expected: Student's density with four degrees of freedom, (1 + d²/4)^(−5/2) without its constant; d in
// what a reading comes back within: 0.3 dB of gain, 0.2 dB of hiss, 0.5 dB of distortion, 0.015 dB of the
// response (the readings' and the curve's facets).

const reading = (value: number, more: Partial<Reading> = {}): Reading => ({
  value,
  unit: "dB",
  uncertainty: 0.1,
  ...more,
});
const of = (readings: Record<string, Reading>) => computePathFingerprint({ readings, curves: {} });
const cost = (d: number) => 2.5 * Math.log(1 + d ** 2 / 4);
const defined = (print: readonly unknown[]) => print.filter((one) => one !== undefined);

describe("what a path is known by", () => {
  it("are readings that are no bounds, gain before hiss before distortion", () => {
    const all = { thd: reading(-80), hiss: reading(-100), gain: reading(3), hum: reading(-90) };
    expect(defined(of(all))).toEqual([3, -100, -80]);
    expect(of(all)[gainFeature]).toBe(3);
    expect(defined(of({ ...all, hiss: reading(-100, { bound: "upper" }) }))).toEqual([3, -80]);
    expect(defined(of({}))).toEqual([]);
  });

  it("is the response at the frequency that lies nearest, within a tenth of a neper", () => {
    // 125 Hz is one of them, and 63 Hz and 8 kHz are its neighbours.
    const at = (...x: readonly number[]) => {
      const response = {
        x,
        y: x,
        uncertainty: x.map(() => 0),
        xUnit: "Hz",
        yUnit: "dB",
      } as const;
      return defined(computePathFingerprint({ readings: {}, curves: { response } }));
    };
    expect(at(125)).toEqual([125]);
    // ln 1.1 is 0.095, ln 1.11 is 0.104.
    expect([at(137.5), at(138.8), at(113.7), at(112)]).toEqual([[137.5], [], [113.7], []]);
    expect(at(120, 126, 131)).toEqual([126]);
    expect(at(100, 119, 120, 200)).toEqual([120]);
    expect(at()).toEqual([]);
  });
});

describe("how unlike two paths are", () => {
  it("is the sum over what both have, each up to eight", () => {
    const one = of({ gain: reading(1), hiss: reading(-100), thd: reading(-80) });
    expect(computeUnlikeness(one, one)).toBe(0);
    const other = of({ gain: reading(1.6), hiss: reading(-100.6), hum: reading(-50) });
    expect(computeUnlikeness(one, other)).toBeCloseTo(cost(2) + cost(3), 9);
    expect(computeUnlikeness(other, one)).toBeCloseTo(cost(2) + cost(3), 9);
    // ln(1 + d²/4) is 3.2 at d = 9.7.
    const far = (d: number) =>
      computeUnlikeness(of({ thd: reading(0.5 * d) }), of({ thd: reading(0) }));
    expect(far(9.6)).toBeCloseTo(cost(9.6), 9);
    expect(far(9.6)).toBeLessThan(8);
    expect(far(9.8)).toBe(8);
    expect(computeUnlikeness(of({ thd: reading(0) }), of({ hiss: reading(0) }))).toBe(0);
  });

  it("takes off levels what the interface did to all of them, and off nothing else", () => {
    const then = of({ gain: reading(1), hiss: reading(-100), thd: reading(-80) });
    const now = of({ gain: reading(4), hiss: reading(-97), thd: reading(-80) });
    expect(computeUnlikeness(now, then, 3)).toBeCloseTo(0, 9);
    expect(computeUnlikeness(then, now, -3)).toBeCloseTo(0, 9);
    expect(computeUnlikeness(now, then, -3)).toBe(16);
    expect(computeUnlikeness(now, then, 2.7)).toBeCloseTo(cost(1) + cost(1.5), 9);
  });
});
