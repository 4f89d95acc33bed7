import { expect, test } from "vitest";
import {
  getDifferenceUnit,
  getProductUnit,
  getQuotientUnit,
  getSumUnit,
  isDecibel,
  isWritable,
} from "../../../src/service/limits/units.js";
import { isLevelUnit } from "../../../src/text/level-units.js";

// Expected: the algebra of levels and level differences (ISO 80000-8; IEC 60027-3: a level has a
// reference, the difference of two has none).

const none = undefined;

test.each([
  // a, b, a + b, a − b, a · b, a / b
  ["dBu", "dBu", none, "dB", none, none],
  ["dBu", "dBFS", none, none, none, none],
  ["dBu", "dB", "dBu", "dBu", none, none],
  ["dB", "dBu", "dBu", none, none, none],
  ["dB", "dB", "dB", "dB", none, ""],
  ["dBu", "", none, none, none, none],
  ["", "dBu", none, none, none, none],
  ["Hz", "Hz", "Hz", "Hz", none, ""],
  ["Hz", "dB", none, none, none, none],
  ["Hz", "", none, none, "Hz", "Hz"],
  ["", "Hz", none, none, "Hz", none],
  ["", "", "", "", "", ""],
])("%j and %j", (a, b, sum, difference, product, quotient) => {
  expect(getSumUnit(a, b)).toBe(sum);
  expect(getDifferenceUnit(a, b)).toBe(difference);
  expect(getProductUnit(a, b)).toBe(product);
  expect(getQuotientUnit(a, b)).toBe(quotient);
});

test("levels, decibels, and what can stand behind a number", () => {
  const units = ["dB", "dBu", "dBFS", "dB/octave", "Hz", "Ω", "%", ""];
  expect(units.filter(isLevelUnit)).toStrictEqual(["dBu", "dBFS"]);
  expect(units.filter(isDecibel)).toStrictEqual(["dB", "dBu", "dBFS", "dB/octave"]);
  expect(units.filter(isWritable)).toStrictEqual(["dB", "dBu", "dBFS", "Hz", "Ω"]);
});
