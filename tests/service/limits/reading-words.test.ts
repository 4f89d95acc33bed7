import { describe, expect, it } from "vitest";
import { readingKinds } from "../../../src/measure/reading-kinds.js";
import {
  replaceDecimalCommas,
  replaceReadingWords,
} from "../../../src/service/limits/reading-words.js";

describe("the names of readings in a limit", () => {
  it.each(readingKinds.map(({ id, name }) => [name, id]))("%s is %s", (name, id) => {
    expect(replaceReadingWords(`${name} <= 1 dB`)).toBe(`${id} <= 1 dB`);
    expect(replaceReadingWords(`siblings(${name}) <= 1 dB`)).toBe(`siblings(${id}) <= 1 dB`);
    expect(replaceReadingWords(`${id.toUpperCase()} <= 1 dB`)).toBe(`${id} <= 1 dB`);
  });

  it.each([
    ["THD+N <= siblings(THD + N) + 6 dB", "thdN <= siblings(thd + N) + 6 dB"],
    ["A weighted noise < -60 dBFS", "noiseA < -60 dBFS"],
    // A frequency in the brackets makes a curve of it.
    ["distortion(1 kHz) <= 3 dB", "distortion(1 kHz) <= 3 dB"],
    ["noise(20 Hz, 20 kHz) < -60 dBFS", "noise(20 Hz, 20 kHz) < -60 dBFS"],
    ["noise20k - noise <= 1 dB", "noise20k - noise <= 1 dB"],
  ])("%s is %s", (written, read) => expect(replaceReadingWords(written)).toBe(read));
});

describe("a decimal comma in a limit", () => {
  it.each([
    ["noise < -60,5 dBFS", "noise < -60.5 dBFS"],
    ["-1,5 dB <= gain <= 1,5 dB", "-1.5 dB <= gain <= 1.5 dB"],
    ["response(31,5 Hz, 18 kHz) >= -3 dB", "response(31.5 Hz, 18 kHz) >= -3 dB"],
    ["thd <= 0,05 %", "thd <= 0.05 %"],
    // Two values, not one.
    ["max(1,2) <= 3", "max(1,2) <= 3"],
    ["response(20 Hz,18 kHz) >= -3 dB", "response(20 Hz,18 kHz) >= -3 dB"],
  ])("%s is %s", (written, read) => expect(replaceDecimalCommas(written)).toBe(read));
});
