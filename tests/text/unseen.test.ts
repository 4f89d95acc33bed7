import { describe, expect, it } from "vitest";
import { hasUnseen, replaceUnseen } from "../../src/text/unseen.js";

// General categories and noncharacters of the Unicode Character Database.
describe("signs that cannot be seen", () => {
  it.each([
    ["a control (Cc)", "\u0007"],
    ["a line end (Cc)", "\n"],
    ["one that turns text round (Cf)", "\u202e"],
    ["half of a pair (Cs)", "\ud800"],
    ["a line separator (Zl)", "\u2028"],
    ["a paragraph separator (Zp)", "\u2029"],
    ["a noncharacter", "\ufffe"],
    ["a noncharacter beyond 16 bits", "\u{1fffe}"],
  ])("are found: %s", (_, sign) => {
    expect(hasUnseen(`a${sign}b`)).toBe(true);
    // Asked twice, it says the same.
    expect(hasUnseen(`a${sign}b`)).toBe(true);
    expect(replaceUnseen(`${sign}a${sign}b`, (one) => `<${one.length}>`)).toBe(
      `<${sign.length}>a<${sign.length}>b`,
    );
  });

  it("are no letters, marks, spaces or symbols", () => {
    const text = "Übertrag 7 – µ Ω e\u0301 😀";
    expect(hasUnseen(text)).toBe(false);
    expect(replaceUnseen(text, () => "?")).toBe(text);
  });
});
