import stringWidth from "string-width";
import { expect, it } from "vitest";
// @ts-expect-error: a script without types
import { narrowText } from "../../scripts/narrow-text.mjs";

// Expected: what string-width, a reference library, says of each letter and of letters beside others.

it("takes as many columns as it has letters, alone and beside any other of them", () => {
  const letters = Array.from({ length: 0x10000 }, (_, code) => String.fromCharCode(code)).filter(
    (letter) => narrowText.test(letter),
  );
  expect(letters.length).toBeGreaterThan(95 + 400);
  for (const letter of letters) {
    expect([letter, stringWidth(letter)]).toEqual([letter, 1]);
    expect(stringWidth(`#${letter}0${letter}\u2212`)).toBe(5);
  }
});

it.each([
  "\u001b[31mred",
  "\u00a9",
  "\u4e2d",
  "e\u0301",
  "1\ufe0f\u20e3",
  "\u{1f39b}",
  "a\tb",
  "a\nb",
])("is not %j", (text) => {
  expect(narrowText.test(text)).toBe(false);
});
