import { expect, test } from "vitest";
import { assembleCapture } from "../../src/simulate/capture.js";
import { decibel, rms } from "./tone.js";

const renders = [new Float64Array(1000).fill(0.5), new Float64Array(2000).fill(-0.5)];

test("a capture holds pause, render, pause, render, pause", () => {
  const capture = assembleCapture(renders, [0.5, 1, 0.25], 48_000, 1);
  expect(capture.length).toBe(24_000 + 1000 + 48_000 + 2000 + 12_000);
  expect(capture.subarray(24_000, 25_000)).toEqual(renders[0]);
  expect(capture.subarray(73_000, 75_000)).toEqual(renders[1]);
});

test("pauses hold the interface's noise, about −120 dBFS in 20 kHz", () => {
  const capture = assembleCapture([], [3], 48_000, 1);
  // 69 nV/√Hz over 24 kHz against 9.752 V, the RMS of a full-scale sine at +22 dBu.
  const expected = decibel((69e-9 * Math.sqrt(24_000)) / 9.752 / Math.SQRT2);
  expect(Math.abs(decibel(rms(capture)) - expected)).toBeLessThan(0.1);
});

test("the same seed gives the same pauses, another seed others", () => {
  const once = assembleCapture(renders, [0.1, 0.1, 0.1], 48_000, 1);
  expect(assembleCapture(renders, [0.1, 0.1, 0.1], 48_000, 1)).toEqual(once);
  expect(assembleCapture(renders, [0.1, 0.1, 0.1], 48_000, 2)).not.toEqual(once);
});

test("pauses that do not fit the renders are refused", () => {
  expect(() => assembleCapture(renders, [1, 1], 48_000, 1)).toThrow(RangeError);
});
