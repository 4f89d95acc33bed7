import { expect, test } from "vitest";
import { compareRoundIds, formatRoundId, parseRoundId } from "../../src/history/round-id.js";

// Expected: docs/files.md, the day of a round and its number on that day.

test("an id is a day and a number", () => {
  expect(parseRoundId("2031-03-14-02")).toEqual({ day: "2031-03-14", number: 2 });
  expect(parseRoundId("2031-03-14-1234")).toEqual({ day: "2031-03-14", number: 1234 });
  expect(formatRoundId({ day: "2031-03-14", number: 2 })).toBe("2031-03-14-02");
  for (const text of ["2031-03-14", "2031-03-14-2", "2031-3-14-02", "x2031-03-14-02", ""]) {
    expect(parseRoundId(text)).toBeUndefined();
  }
});

test("ids are sorted by day, then by number as a number", () => {
  const order = [
    "2030-12-31-09",
    "2031-01-01-09",
    "2031-01-01-10",
    "2031-01-01-100",
    "2031-01-02-01",
  ];
  expect([...order].reverse().sort(compareRoundIds)).toEqual(order);
  expect(compareRoundIds("2031-01-01-02", "2031-01-01-02")).toBe(0);
  expect(compareRoundIds("a", "b")).toBeLessThan(0);
  expect(compareRoundIds("b", "a")).toBeGreaterThan(0);
  // What is no id stands among ids as text does.
  expect(compareRoundIds("2031-01-01-02", "a")).toBeLessThan(0);
  expect(compareRoundIds("a", "2031-01-01-02")).toBeGreaterThan(0);
});
