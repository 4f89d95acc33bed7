import { expect, it } from "vitest";
import { parseDecimal } from "../../src/text/parse-decimal.js";

it.each([
  ["1.228", 1.228, "", 0.001],
  ["1,228", 1.228, "", 0.001],
  ["1.2280 V", 1.228, "V", 0.0001],
  ["−40,5 dBu", -40.5, "dBu", 0.1],
  ["-40.5dBu", -40.5, "dBu", 0.1],
  ["– 3", -3, "", 1],
  ["2h", 2, "h", 1],
  ["5 %", 5, "%", 1],
  [",5", 0.5, "", 0.1],
  ["150Ω", 150, "Ω", 1],
  ["-0", 0, "", 1],
])("%s is %d %s", (text, value, unit, step) => {
  const found = parseDecimal(text);
  expect(found).toMatchObject({ value, unit });
  expect(found?.step).toBeCloseTo(step, 12);
});

it.each(["", "dB", "1.2.3", "1,2,3", "1 2", "1e3", "0x10", "--1", "two", "1 000"])(
  "%j is no single number",
  (text) => {
    expect(parseDecimal(text)).toBeUndefined();
  },
);
