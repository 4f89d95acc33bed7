import { describe, expect, it } from "vitest";
import type { Prediction } from "../../src/diagnose/cause-kind.js";
import { findRecordedInput } from "../../src/diagnose/diagnose.js";
import { fitTogether, withoutEnds } from "../../src/diagnose/two-shapes.js";
import type { Cause } from "../../src/diagnose/types.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { measurement, reading } from "../helpers/families.js";
import { evidence } from "../helpers/path-evidence.js";

const responseOf = (points: readonly (readonly [hz: number, db: number])[]) => ({
  x: points.map(([hz]) => hz),
  y: points.map(([, db]) => db),
  spread: points.map(() => 0.2),
  uncertainty: points.map(() => 0.01),
  siblings: points.map(() => 0.1),
});

describe("a response against the ends of its band", () => {
  const ends = (...points: readonly (readonly [number, number])[]) =>
    withoutEnds(evidence({ gain: -3 }, { response: responseOf(points) }));

  it("is shifted by what each of them is off", () => {
    const points = [
      [20, -2],
      [30, -3],
      [60, -4],
      [1000, 0],
      [6000, 2],
      [20_000, 4],
    ] as const;
    const path = evidence({ gain: -3 }, { response: responseOf(points) });
    // −3 dB in the middle of the low end; midway between 2 and 4 dB of the high one.
    const y = (less: number) => points.map(([, db]) => db - less);
    expect(withoutEnds(path)).toEqual([
      { ...path, response: { ...path.response, y: y(-3) } },
      { ...path, response: { ...path.response, y: y(3) } },
    ]);
  });

  it("is not by less than 1 dB, nor by what lies beside an end", () => {
    const count = (hz: number, db: number) => ends([hz, db], [1000, 0]).length;
    expect([0.99, 1, -0.99, -1].map((db) => count(40, db))).toEqual([0, 1, 0, 1]);
    expect([0.99, 1, -0.99, -1].map((db) => count(10_000, db))).toEqual([0, 1, 0, 1]);
    expect([19, 20, 60, 61, 5999, 6000, 20_000, 20_001].map((hz) => count(hz, 5))).toEqual([
      0, 1, 1, 0, 0, 1, 1, 0,
    ]);
  });

  it("is none without a response", () => {
    expect(withoutEnds(evidence({}))).toEqual([]);
  });
});

describe("two shapes in turn", () => {
  const path = evidence({}, { response: responseOf([[1000, 8]]) });
  const shape = (db: number): Prediction => ({ moves: {}, evidence: [], response: () => db });
  /** Takes half of what is left, so many times. */
  const half = (times = 9) => {
    const left: number[] = [];
    return {
      left,
      predict: (rest: typeof path) => {
        if (left.length === times) return undefined;
        left.push(rest.response?.y[0] ?? Number.NaN);
        return shape((rest.response?.y[0] ?? Number.NaN) / 2);
      },
    };
  };
  const at1k = (both: readonly Prediction[]) => both.map(({ response }) => response?.(1000));

  it("take three times what the other leaves", () => {
    // Of 8 dB: 4 and 2, then 3 of 6 and 2.5 of 5, then 2.75 and 2.625.
    const [one, other] = [half(), half()];
    expect(at1k(fitTogether(path, one, shape(0), other, shape(0)))).toEqual([2.75, 2.625]);
    expect(one.left).toEqual([8, 6, 5.5]);
    expect(other.left).toEqual([4, 5, 5.25]);
  });

  it("stay as they were last fitted where either fits no more", () => {
    const of = (first: number, second: number) =>
      at1k(fitTogether(path, half(first), shape(1), half(second), shape(2)));
    expect(of(0, 9)).toEqual([1, 2]);
    expect(of(9, 0)).toEqual([1, 2]);
    // (8 − 2)/2 and (8 − 3)/2.
    expect(of(1, 9)).toEqual([3, 2.5]);
    expect(of(9, 1)).toEqual([3, 2.5]);
  });

  it("stay as they are where one of them leaves the response alone", () => {
    const still: Prediction = { moves: {}, evidence: [] };
    const [one, other] = [half(), half()];
    for (const [a, b] of [
      [shape(1), still],
      [still, shape(1)],
    ]) {
      expect(fitTogether(path, one, a, other, b)).toEqual([a, b]);
    }
    expect([one.left, other.left]).toEqual([[], []]);
  });
});

describe("the input that was recorded", () => {
  const statsOf = (median: number): FamilyStats => ({
    count: 9,
    readings: { gain: { count: 9, median, scale: 0.1 } },
    curves: {},
    excess: 1,
  });
  const cause = (id: string) => ({ cause: id, probability: 0.9 }) as unknown as Cause;
  const recorded = (...causes: readonly Cause[]) =>
    findRecordedInput(
      { path: "7/mic", family: "mic", measurement: measurement({ gain: reading(-10) }) },
      { path: "7/mic", family: "mic", oddness: 9, findings: [] } as never,
      {
        usual: statsOf(0),
        others: [
          { name: "tape", usual: statsOf(20) },
          { name: "line", usual: statsOf(-10) },
        ],
      },
      causes,
    );

  it("is of the family that it measures like, where that is the first cause", () => {
    expect(recorded(cause("wrong-path-recorded"), cause("pad-in"))).toBe("line");
    expect(recorded(cause("pad-in"), cause("wrong-path-recorded"))).toBeUndefined();
    expect(recorded()).toBeUndefined();
  });
});
