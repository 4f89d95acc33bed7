import { describe, expect, it } from "vitest";
import { findClosestWord, listDeskPaths, parsePath, parsePaths } from "../../src/desk/paths.js";
import { DeskroundError } from "../../src/errors.js";

const strips = ["1", "2", "3A"];
const inputs = [{ name: "mic", strips: ["1", "2"] }, { name: "line" }];
const groups = new Map([["recapped", ["2"]]]);
const byInput = listDeskPaths({ strips, inputs, groups, order: "by-input" });

function failure(action: () => unknown): DeskroundError {
  try {
    action();
  } catch (error) {
    if (error instanceof DeskroundError) return error;
  }
  throw new Error("nothing was refused");
}

describe("run-sheet order", () => {
  it("by input goes through all strips before the next input", () => {
    expect(byInput.map(({ path }) => path)).toEqual([
      "1/mic",
      "2/mic",
      "1/line",
      "2/line",
      "3A/line",
    ]);
  });

  it("by strip finishes one strip before the next", () => {
    const paths = listDeskPaths({ strips, inputs, groups, order: "by-strip" });
    expect(paths.map(({ path }) => path)).toEqual([
      "1/mic",
      "1/line",
      "2/mic",
      "2/line",
      "3A/line",
    ]);
  });

  it("the family is the input, with the group of the strip when it stands in one", () => {
    expect(byInput.map(({ family }) => family)).toEqual([
      "mic",
      "mic (recapped)",
      "line",
      "line (recapped)",
      "line",
    ]);
  });
});

describe("a path named by the user", () => {
  it("is found whatever the capitals", () => {
    expect(parsePath(" 3a/LINE ", byInput)).toBe(byInput[4]);
    expect(parsePaths("1/mic,3A/line", byInput)).toEqual([byInput[0], byInput[4]]);
  });

  it.each([
    ["2/mik", 'Path 2/mik: this desk has no input "mik".', "Did you mean 2/mic?"],
    [
      "99/mic",
      'Path 99/mic: this desk has no strip "99".',
      "Strips run from 1 to 3A; inputs: mic, line.",
    ],
    ["3A/mic", 'Path 3A/mic: strip 3A has no input "mic".', "Strip 3A has the inputs: line."],
    ["7", 'This desk has no strip "7".', "Strips run from 1 to 3A; inputs: mic, line."],
    ["2", "2 is a strip: which of its inputs?", "Write 2/mic or 2/line."],
    ["mic", "mic is an input: of which strip?", "For example 1/mic."],
    ["25mic", 'Path 25/mic: this desk has no strip "25".', "Strips run from 1 to 3A"],
    ["", '"" is not a path: paths are written strip/input, e.g. 1/mic.', "Strips run"],
  ])(
    "%s that is unknown is refused with what is unknown and what is near",
    (text, message, hint) => {
      const error = failure(() => parsePath(text, byInput));
      expect(error.code).toBe("usage");
      expect(error.message).toBe(message);
      expect(error.hint).toContain(hint);
    },
  );
});

describe("the nearest word", () => {
  it("is offered for a slip of the finger", () => {
    expect(findClosestWord("mians", ["name", "mains", "strips"])).toBe("mains");
  });

  it("is not offered when nothing is like it", () => {
    expect(findClosestWord("colour", ["name", "mains", "strips"])).toBeUndefined();
  });
});
