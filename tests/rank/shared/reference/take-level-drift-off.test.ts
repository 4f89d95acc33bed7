import { expect, test } from "vitest";
import type { Readings } from "../../../../src/measure/types.js";
import { takeLevelDriftOff } from "../../../../src/rank/shared/reference/take-level-drift-off.js";
import { reading } from "../../../helpers/families.js";

// A path's level came back 2 dB too high, known to 0.4 dB, of which all siblings share 0.3 dB. What
// it moves is 2 dB less; uncertainties that are independent add in quadrature (JCGM 100, 5.1.2):
// 0.3² + 0.4² = 0.5², and 0.4² + 0.3² of common parts likewise.
const taken = { "7/mic": { db: 2, uncertainty: 0.4, common: 0.3 } };
const off = (readings: Readings, noise: "moves" | "stays" = "moves") =>
  takeLevelDriftOff("7/mic", { readings }, { taken, noise }).readings;

test("the level and the gain go with it, and their doubt grows", () => {
  const readings = { gain: reading(1, "dB", 0.3), level: reading(-18, "dBFS", 0.3) };
  for (const noise of ["moves", "stays"] as const) {
    const { gain, level } = off(readings, noise);
    expect(gain).toStrictEqual({ value: -1, unit: "dB", uncertainty: 0.5, common: 0.3 });
    expect(level).toMatchObject({ value: -20, uncertainty: 0.5 });
  }
  const known = { gain: { ...reading(1, "dB", 0.3), common: 0.4 } };
  expect(off(known).gain.common).toBeCloseTo(0.5, 12);
});

test.each([
  ["hiss", "dBFS", true],
  ["hiss", "dBu", true],
  ["noise", "dBFS", true],
  ["hum", "dBFS", true],
  ["strayTone", "dBu", true],
  // Against the tone, referred to the input, or no level of noise at all: none moves.
  ["hiss", "dB", false],
  ["thd", "dB", false],
  ["thdN", "dB", false],
  ["ein", "dBu", false],
  ["noiseSlope", "dB/octave", false],
  ["polarity", "", false],
  ["bygone", "dBFS", false],
])("%s in %s moves where noise does: %s", (id, unit, moves) => {
  const before = { [id]: reading(-80, unit) };
  expect(off(before, "stays")).toStrictEqual(before);
  if (moves) expect(off(before)[id].value).toBe(-82);
  else expect(off(before)).toStrictEqual(before);
});

test("both sides of a stereo path go with it", () => {
  const readings = { gain: reading(1) };
  const partner = { side: "right", readings: { gain: reading(5) } };
  const both = takeLevelDriftOff("7/mic", { readings, partner }, { taken, noise: "stays" });
  expect(both.readings.gain.value).toBe(-1);
  expect(both.partner.readings.gain.value).toBe(3);
  expect(both.partner.side).toBe("right");
  expect(
    Object.keys(takeLevelDriftOff("7/mic", { readings }, { taken, noise: "stays" })),
  ).toStrictEqual(["readings"]);
});

test("a path without a share stays as it was measured, and none is shared where none is", () => {
  const measured = { readings: { gain: reading(1) } };
  expect(takeLevelDriftOff("8/mic", measured, { taken, noise: "moves" })).toBe(measured);
  expect(takeLevelDriftOff("7/mic", measured, { noise: "moves" })).toBe(measured);
  const alone = { "7/mic": { db: 2, uncertainty: 0.4, common: 0 } };
  const { gain } = takeLevelDriftOff("7/mic", measured, { taken: alone, noise: "stays" }).readings;
  expect(gain).not.toHaveProperty("common");
});
