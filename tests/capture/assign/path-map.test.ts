import { describe, expect, it } from "vitest";
import { parseMap } from "../../../src/capture/assign/path-map.js";
import { DeskroundError } from "../../../src/errors.js";
import { desk, numbered } from "../desks.js";
import { thrownBy } from "../wav-bytes.js";

const paths = desk(numbered(9), ["mic", "line"]);

function refused(text: string): DeskroundError {
  const error = thrownBy(() => parseMap(text, "map.txt", paths));
  expect(error).toBeInstanceOf(DeskroundError);
  expect(error).toMatchObject({ code: "usage" });
  return error as DeskroundError;
}

describe("parseMap", () => {
  it("reads paths in the order of the returns, - for one to leave out", () => {
    const expected = [{ path: "7/mic" }, { path: "7/line" }, {}, { path: "8/mic" }];
    for (const text of [
      "7/mic,7/line,-,8/mic",
      " 7/MIC, 7/line ,-, 8/mic,\n",
      "7/mic\n7/line\r\n-\n\n8/mic",
    ]) {
      const entries = parseMap(text, "--map", paths);
      expect(entries.map(({ where: _, ...entry }) => entry)).toEqual(expected);
    }
  });

  it("reads a range of strips as its paths one by one", () => {
    const entries = parseMap("1-3/mic, -, 9/line,2-3/LINE", "--map", paths);
    expect(entries.map(({ path }) => path)).toEqual([
      ...["1/mic", "2/mic", "3/mic", undefined],
      ...["9/line", "2/line", "3/line"],
    ]);
    expect(refused("8-11/mic").message).toMatch(/entry 1|map\.txt.*10/);
  });

  it("reads a line for each return of each file", () => {
    const text = [
      "\uFEFF# the second evening",
      "evening 2.wav #3 7/mic",
      "  evening 2.wav\t7/line",
      '"evening 2.wav" #1 -',
      "a, b.wav 8/mic",
      "take #2.wav 9/mic",
      "",
    ].join("\r\n");
    expect(parseMap(text, "map.txt", paths)).toEqual([
      { file: "evening 2.wav", nth: 3, path: "7/mic", where: "map.txt, line 2" },
      { file: "evening 2.wav", nth: 4, path: "7/line", where: "map.txt, line 3" },
      { file: "evening 2.wav", nth: 1, where: "map.txt, line 4" },
      { file: "a, b.wav", nth: 1, path: "8/mic", where: "map.txt, line 5" },
      { file: "take #2.wav", nth: 1, path: "9/mic", where: "map.txt, line 6" },
    ]);
  });

  it("names line and nearest path of a mistake", () => {
    const error = refused("1/mic\n\n2/mik");
    expect(error.message).toMatch(/^map\.txt, line 3: .*2\/mik/);
    expect(error.hint).toMatch(/2\/mic/);
    expect(refused("a.wav 1/mic\nb.wav 77/mic").message).toMatch(/^map\.txt, line 2: .*"77"/);
  });

  it("names the entry of a mistake in a list", () => {
    const error = thrownBy(() => parseMap("1/mic,2/mik", "--map", paths));
    expect(error).toMatchObject({ message: expect.stringMatching(/^--map, entry 2: /) });
  });

  it("refuses what cannot be meant", () => {
    expect(refused("").message).toMatch(/holds no path/);
    expect(refused("# nothing\n").message).toMatch(/holds no path/);
    expect(refused("1/mic\na.wav 2/mic").message).toMatch(/line 2: some entries name a file/);
    expect(refused("a.wav #0 1/mic").message).toMatch(/line 1|no #0/);
    expect(refused("a.wav 1/mic\na.wav #1 2/mic").message).toMatch(
      /line 2: return #1 of a\.wav is listed twice/,
    );
  });
});
