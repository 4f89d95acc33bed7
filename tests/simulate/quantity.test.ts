import { expect, test } from "vitest";
import { quantity } from "../../src/simulate/quantity.js";

test.each([
  [4.7e-6, "F", "4.7 µF"],
  [0.00022, "F", "220 µF"],
  [9.96e-7, "F", "1 µF"],
  [1234, "Ω", "1.2 kΩ"],
  [0.05, "Ω", "50 mΩ"],
  [1e12, "Ω", "1000 GΩ"],
  [1.9e-9, "V/√Hz", "1.9 nV/√Hz"],
  [0, "V", "0 V"],
])("%d %s reads %s", (value, unit, words) => {
  expect(quantity(value, unit)).toBe(words);
});
