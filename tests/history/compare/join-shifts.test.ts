import { describe, expect, it } from "vitest";
import { joinShifts } from "../../../src/history/compare/join-shifts.js";
import type { FamilyShift } from "../../../src/history/compare/readings.js";

// Expected: means weighted by 1/u² (JCGM 100); uncertainties of 0.3 and 0.4 dB are 0.5 dB in quadrature.

const shift = (family: string, of: number, more: Partial<FamilyShift> = {}): FamilyShift => ({
  reading: "thd",
  family,
  paths: 10,
  shift: of,
  unit: "dB",
  uncertainty: 0.3,
  course: "worse",
  ...more,
});
const families = (...shifts: readonly FamilyShift[]) =>
  joinShifts(shifts).map((one) => one.families);
const wide = { uncertainty: 0.4 };

describe("changes of several families", () => {
  it("are one where they agree, with the mean of both and the larger uncertainty", () => {
    const [found, ...more] = joinShifts([
      shift("mic", 1, { paths: 4 }),
      shift("line", 1.6, { paths: 12, uncertainty: 0.4, course: "neither" }),
      shift("tape", 1, { paths: 12, uncertainty: 0.4 }),
    ]);
    expect(more).toEqual([]);
    const [a, b] = [1 / 0.09, 1 / 0.16];
    expect(found).toStrictEqual({
      reading: "thd",
      families: ["mic", "line", "tape"],
      paths: 28,
      shift: expect.closeTo((a + 1.6 * b + b) / (a + 2 * b), 12),
      unit: "dB",
      uncertainty: 0.4,
      // Of the family with most paths, the first of them.
      course: "neither",
    });
    expect(joinShifts([])).toEqual([]);
  });

  it("agree within 1.75 times their uncertainties, or within a tenth", () => {
    expect(families(shift("a", 1), shift("b", 1.875, wide))).toEqual([["a", "b"]]);
    expect(families(shift("a", 1), shift("b", 1.88, wide))).toEqual([["a"], ["b"]]);
    expect(families(shift("a", 1.88, wide), shift("b", 1))).toEqual([["a"], ["b"]]);
    // A tenth of 10 dB, of which 0.525 dB are no more than chance.
    expect(families(shift("a", 10), shift("b", 11))).toEqual([["a", "b"]]);
    expect(families(shift("a", -10), shift("b", -11))).toEqual([["a", "b"]]);
    expect(families(shift("a", 10), shift("b", 11.1))).toEqual([["a"], ["b"]]);
  });

  it("agree each with each, or are told apart", () => {
    expect(families(shift("a", 1), shift("b", 1.5), shift("c", 2))).toEqual([["a", "b"], ["c"]]);
    expect(families(shift("a", 1), shift("c", 2), shift("b", 1.5))).toEqual([["a", "b"], ["c"]]);
  });

  it("are of one reading, one sign, and within an octave", () => {
    expect(families(shift("a", 1), shift("b", 1, { reading: "noise" }))).toEqual([["a"], ["b"]]);
    expect(families(shift("a", 0.1), shift("b", -0.1))).toEqual([["a"], ["b"]]);
    const at = (family: string, atHz: number) => shift(family, 1, { reading: "response", atHz });
    expect(families(at("a", 500), at("b", 1000))).toEqual([["a", "b"]]);
    expect(families(at("a", 1000), at("b", 500))).toEqual([["a", "b"]]);
    expect(families(at("a", 1000), at("b", 2001))).toEqual([["a"], ["b"]]);
    expect(families(at("a", 1000), at("b", 499))).toEqual([["a"], ["b"]]);
    const { atHz: _, ...nowhere } = at("b", 1000);
    expect(families(at("a", 1000), nowhere)).toEqual([["a"], ["b"]]);
    expect(families(nowhere, at("a", 1000))).toEqual([["b"], ["a"]]);
  });

  it("without any uncertainty have the plain mean", () => {
    const sure = { uncertainty: 0 };
    const [found] = joinShifts([shift("a", 10, sure), shift("b", 10.5, sure)]);
    expect(found.shift).toBeCloseTo(10.25, 12);
    expect(found.uncertainty).toBe(0);
  });
});
