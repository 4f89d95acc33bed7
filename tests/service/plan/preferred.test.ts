import { expect, test } from "vitest";
import { getPreferredValue, series } from "../../../src/service/plan/preferred.js";

// IEC 60063: the E series are 10^(k/n) rounded, but for a few values of E24 and E6 that the standard
// rounds otherwise (2.7 to 4.7 and 8.2; 3.3 and 4.7).

test.each([
  ["E6", 6],
  ["E24", 24],
] as const)("%s has its values within five per cent of a geometric series", (name, count) => {
  expect(series[name]).toHaveLength(count);
  series[name].forEach((value, k) => {
    expect(Math.abs(value / 10 ** (k / count) - 1)).toBeLessThan(0.05);
  });
});

test.each([
  [5.1e-6, "E6", 4.7e-6],
  [1e-6, "E6", 1e-6],
  [0.95e-6, "E6", 1e-6],
  [9.9e-6, "E6", 10e-6],
  [8.2e-6, "E6", 6.8e-6],
  [8.3e-6, "E6", 10e-6],
  [47e-6, "E6", 47e-6],
  [6790, "E24", 6800],
  [9500, "E24", 9100],
  [9600, "E24", 10_000],
  [104, "E24", 100],
  [1000, "E24", 1000],
  [1000.0001, "E6", 1000],
  [999.9999, "E6", 1000],
  [105, "E24", 110],
  [0.47, "E24", 0.47],
] as const)("nearest by ratio to %d in %s: %d", (value, name, preferred) => {
  expect(getPreferredValue(value, name)).toBe(preferred);
});
