import { describe, expect, it } from "vitest";
import { formatChange, formatSigned } from "../../src/text/format-signed.js";

describe("formatSigned", () => {
  // U+2212 is the minus of print (The Unicode Standard, chapter 6.2).
  it("writes a minus sign, not a hyphen, and none before a zero", () => {
    expect(formatSigned("-18.0")).toBe("\u221218.0");
    expect(["-0", "-0.00", "0.0", "3"].map(formatSigned)).toEqual(["0", "0.00", "0.0", "3"]);
  });
});

describe("formatChange", () => {
  it("always writes the sign, and a zero as what did not fall", () => {
    expect(formatChange("7.3")).toBe("+7.3");
    expect(formatChange("-0.04")).toBe("\u22120.04");
    expect(["0.0", "-0.0"].map(formatChange)).toEqual(["+0.0", "+0.0"]);
  });
});
