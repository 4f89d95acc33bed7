import { expect, test } from "vitest";
import type { DeskAge } from "../../../src/desk/construction.js";
import { estimateCapacitorLife } from "../../../src/service/plan/ageing.js";

// Expected: the rules of thumb in docs/worklist.md, worked by hand: five years of all day and night,
// twenty at most; half as long for every ten kelvins more (common practice).

const age = (more: Partial<DeskAge> = {}): DeskAge => ({
  installed: 2010,
  recapped: [],
  poweredHours: 24,
  warmerKelvin: 0,
  ...more,
});

test.each([
  // hours a day, warmer by, years, due
  [24, 0, 5, 2015],
  [12, 0, 10, 2020],
  [6, 0, 20, 2030],
  [3, 0, 20, 2030],
  [12, 10, 5, 2015],
  [12, -10, 20, 2030],
  [3, 20, 5, 2015],
  [24, 5, 4, 2014],
])("%d hours a day, %d K warmer: %d years, due in %d", (poweredHours, warmerKelvin, years, due) => {
  const life = estimateCapacitorLife("3", age({ poweredHours, warmerKelvin }));
  expect(life).toStrictEqual({ strip: "3", since: 2010, years, due });
});

test("counts from the last recapping of the strip", () => {
  const recapped = [
    { year: 2025, strips: ["1", "2"] },
    { year: 2020, strips: ["2", "3"] },
  ];
  const since = (strip: string) => estimateCapacitorLife(strip, age({ recapped }))?.since;
  expect(["1", "2", "3", "4"].map(since)).toStrictEqual([2025, 2025, 2020, 2010]);
});

test("says nothing where no year is known", () => {
  expect(estimateCapacitorLife("1", undefined)).toBeUndefined();
  const { installed: _, ...unknown } = age();
  expect(estimateCapacitorLife("1", unknown)).toBeUndefined();
  const recapped = [{ year: 2020, strips: ["1"] }];
  expect(estimateCapacitorLife("1", { ...unknown, recapped })?.since).toBe(2020);
  expect(estimateCapacitorLife("2", { ...unknown, recapped })).toBeUndefined();
});
