import { describe, expect, it } from "vitest";
import { parseDesk } from "../../src/desk/read/read-desk.js";
import { DeskroundError } from "../../src/errors.js";

const good = `name: Desk
mains: 50
strips: 1-4
inputs:
  mic: { nominal: -40 }
  line: { nominal: 4 }
`;

function refusal(text: string): DeskroundError {
  try {
    parseDesk(good + text, "desk.yaml");
  } catch (error) {
    if (error instanceof DeskroundError) return error;
    throw error;
  }
  throw new Error("the desk file was accepted");
}

const meant = (text: string) =>
  parseDesk(good + text, "desk.yaml").captures?.map(({ text: own, input }) => [own, input]);

describe("captures in the desk file", () => {
  it("are absent, one pattern, a list, a block by input, or both in one", () => {
    expect(parseDesk(good, "desk.yaml")).not.toHaveProperty("captures");
    expect(meant("captures: <strip> <input>\n")).toEqual([["<strip> <input>", undefined]]);
    expect(meant("captures:\n  - <strip> <input>\n  - Zug <strip>.wav\n")).toEqual([
      ["<strip> <input>", undefined],
      ["Zug <strip>.wav", undefined],
    ]);
    const block = "captures:\n  MIC: [Mikrofon <strip>, M<strip>]\n  line: Leitung <strip>\n";
    expect(meant(block)).toEqual([
      ["Mikrofon <strip>", "mic"],
      ["M<strip>", "mic"],
      ["Leitung <strip>", "line"],
    ]);
    expect(meant("captures:\n  - mic: 2031\n  - <ANY> <Strip> <Input>\n")).toEqual([
      ["2031", "mic"],
      ["<ANY> <Strip> <Input>", undefined],
    ]);
  });

  it("mean an input whose name is a word of a pattern that has no other", () => {
    expect(
      meant("captures: [Mic <strip>, Micro <strip>, mic line <strip>, line: mic <any>]"),
    ).toEqual([
      ["Mic <strip>", "mic"],
      ["Micro <strip>", undefined],
      ["mic line <strip>", undefined],
      ["mic <any>", "line"],
    ]);
  });

  it.each([
    [
      "captures:\n  - <strip> <input>\n  - <strips> x\n",
      '9: "<strips>" is not a placeholder',
      "Did you mean <strip>?",
    ],
    [
      "captures: <canale>\n",
      '7: "<canale>" is not a placeholder',
      "There are <strip>, <input>, <take>, <any>.",
    ],
    ["captures: <> <strip>\n", '7: "<>" is not a placeholder', "There are"],
    [
      'captures: "<strip> < <input>"\n',
      '7: in pattern "<strip> < <input>" a "<" or ">" is alone',
      "<any>",
    ],
    [
      "captures:\n  - Aufnahme <take>\n",
      '8: pattern "Aufnahme <take>" names no path: neither',
      "Write <strip>",
    ],
    ["captures:\n  - Spur #<strip>\n", '8: pattern "Spur" names no path', "needs quotes"],
    ["captures: .wav\n", '7: pattern ".wav" names no path', "Write <strip>"],
    [
      "captures:\n  mic: M <strip> <input>\n",
      '8: pattern "M <strip> <input>" holds <input>, though it is listed under mic.',
      "Remove one",
    ],
    ["captures: <strip> <strip>\n", '7: pattern "<strip> <strip>" holds <strip> twice.', undefined],
    [
      "captures: <input> <strip><take>\n",
      '7: pattern "<input> <strip><take>": a number right after <strip> cannot be',
      "other than a digit",
    ],
    [
      "captures: <input> <take>7 <strip>\n",
      "a number right after <take> cannot be distinguished from it",
      undefined,
    ],
    ["captures: sub/<strip> <input>\n", "fits no file: a file's name has no slash", "Folders"],
    [
      "captures:\n  mic: M <strip>\n  lien: L <strip>\n",
      "9: the desk has no input lien.",
      "Did you mean line?",
    ],
    ["captures:\n  - Zug: <strip>\n", "8: the desk has no input Zug.", "needs quotes"],
    [
      "captures:\n  mic: M <strip>\n  line:\n",
      "9: nothing is where a pattern should be; allowed: patterns",
      undefined,
    ],
    ["captures:\n", "7: nothing is where a pattern should be", undefined],
    ["captures: []\n", '7: "captures" holds no pattern.', undefined],
    ["captures: [[<strip>]]\n", "7: something else is where a pattern should be", undefined],
    ["captures: ''\n", "7: a pattern is left empty.", undefined],
    [
      "captures:\n  mic: Spur 01 <strip>\n  line: spur 1  <STRIP>.wav\n",
      '9: pattern "spur 1 <STRIP>.wav" is there twice.',
      "one meaning",
    ],
    ['captures: "<strip> \\e[2J"\n', "7: a pattern holds control characters", undefined],
    [
      `captures:\n${Array.from({ length: 65 }, (_, k) => `  - <strip> ${"x".repeat(k + 1)}\n`).join("")}`,
      "8: 65 patterns are more than the 64 allowed.",
      undefined,
    ],
    ["captres: <strip>\n", '7: "captres" is not a key here.', "Did you mean captures?"],
  ])("are refused with their line where they are wrong (%#)", (text, message, hint) => {
    const error = refusal(text);
    expect(error.code).toBe("desk-file");
    expect(error.message).toMatch(/^desk\.yaml line \d+: [^\n]+\.$/);
    expect(error.message).toContain(message);
    if (hint !== undefined) expect(error.hint).toContain(hint);
  });
});
