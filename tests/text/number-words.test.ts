import { describe, expect, it } from "vitest";
import { formatNumberWords } from "../../src/text/number-words.js";

describe("formatNumberWords", () => {
  // How the numbers are spelt in English.
  it.each([
    [1, "one"],
    [12, "twelve"],
    [19, "nineteen"],
    [20, "twenty"],
    [21, "twenty one"],
    [40, "forty"],
    [99, "ninety nine"],
  ])("spells %d out", (value, words) => {
    expect(formatNumberWords(value)).toBe(words);
  });

  it.each([0, 100, 1.5, -3, Number.NaN])("spells no %d", (value) => {
    expect(formatNumberWords(value)).toBeUndefined();
  });
});
