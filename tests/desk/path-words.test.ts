import { describe, expect, it } from "vitest";
import { readPathWords, splitPathWords } from "../../src/desk/path-words.js";

const pathsOf = (strips: readonly string[], inputs: readonly string[]) =>
  strips.flatMap((strip) => inputs.map((input) => ({ path: `${strip}/${input}`, strip, input })));
const desk = pathsOf(["1", "2", "7", "12", "3A"], ["mic", "line", "line2"]);

/** What a text names, as it is written. */
function name(text: string, paths = desk): string | undefined {
  const found = readPathWords(text, paths);
  if (found === undefined) return undefined;
  if (found.kind === "path") return found.path.path;
  return `${found.kind} ${found.kind === "strip" ? found.strip : found.input}`;
}

describe("words for a path", () => {
  it.each([
    ...["7/mic", "7mic", "7-mic", "07/mic", "7 mic", "mic 7", "mic7", "MIC 07", "7.mic", "7_mic"],
    ...["7:mic", "7\\mic", "7/mic/", " 7 / mic ", "strip 7 mic", "ch7mic", "mic ch 7", "#7 mic"],
  ])("%j is 7/mic", (text) => {
    expect(name(text)).toBe("7/mic");
  });

  it.each([
    ["7", "strip 7"],
    ["07", "strip 7"],
    ["strip 7", "strip 7"],
    ["Strip7", "strip 7"],
    ["ch. 7", "strip 7"],
    ["channel 3a", "strip 3A"],
    ["7/", "strip 7"],
    ["mic", "input mic"],
    ["/mic", "input mic"],
    ["3Amic", "3A/mic"],
    ["12line2", "12/line2"],
    ["line 12", "12/line"],
    ["line2 12", "12/line2"],
  ])("%j is %s", (text, expected) => {
    expect(name(text)).toBe(expected);
  });

  it.each([
    "",
    "/",
    "25/mic",
    "25",
    "mic 25",
    "7/mik",
    "mik",
    "7 8",
    "7/mic 9/mic",
    "17mic",
    "-7-",
  ])("%j names nothing there is", (text) => {
    expect(name(text)).toBe(text === "-7-" ? "strip 7" : undefined);
  });

  it("that could name several name none, unless they are written so on the desk", () => {
    // "line21" is strip 1 of line2 or strip 21 of line: the digits are one number.
    const both = pathsOf(["1", "21"], ["line", "line2"]);
    expect(name("line21", both)).toBe("21/line");
    expect(name("line2 1", both)).toBe("1/line2");
    const odd = [...pathsOf(["mic-1"], ["line"]), ...pathsOf(["1"], ["mic", "line"])];
    expect(name("mic-1", odd)).toBe("strip mic-1");
    expect(name("mic 1", odd)).toBe("1/mic");
  });

  it("names with signs and zeros of their own mean themselves", () => {
    const odd = pathsOf(["A.1", "B-02", "L"], ["mic"]);
    expect([
      name("a.1", odd),
      name("B-02/mic", odd),
      name("b-02 mic", odd),
      name("Lmic", odd),
    ]).toEqual(["strip A.1", "B-02/mic", "B-02/mic", "L/mic"]);
  });
});

it("words of a path that there is not are split for the message", () => {
  expect(["25mic", "mic 25", "25/mik", "strip 25", "ch 25 mic", "hum"].map(splitPathWords)).toEqual(
    [
      { strip: "25", input: "mic" },
      { strip: "25", input: "mic" },
      { strip: "25", input: "mik" },
      { strip: "25" },
      { strip: "25", input: "mic" },
      {},
    ],
  );
});
