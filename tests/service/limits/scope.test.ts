import { expect, test } from "vitest";
import { listLimitPaths } from "../../../src/service/limits/scope.js";
import { limit } from "./rounds.js";

// Expected: docs/check.md, whom a limit is for.

const paths = ["1/mic", "2/mic", "3/mic", "1/line", "2/line", "12/line"].map((path) => {
  const [strip, input] = path.split("/");
  return { path, strip, input, family: input === "mic" ? "mic, old" : input };
});
const names = (parts: object) => listLimitPaths(limit("x", parts), paths).map(({ path }) => path);

test.each([
  [{}, ["1/mic", "2/mic", "3/mic", "1/line", "2/line", "12/line"]],
  [{ only: ["mic"] }, ["1/mic", "2/mic", "3/mic"]],
  [{ only: ["mic, old"] }, ["1/mic", "2/mic", "3/mic"]],
  [{ only: ["1"] }, ["1/mic", "1/line"]],
  [{ only: ["1-3"] }, ["1/mic", "2/mic", "3/mic", "1/line", "2/line"]],
  [{ only: ["2/mic", "12"] }, ["2/mic", "12/line"]],
  [{ except: ["mic"] }, ["1/line", "2/line", "12/line"]],
  [{ only: ["mic"], except: ["2"] }, ["1/mic", "3/mic"]],
  [{ only: ["1"], except: ["mic", "line"] }, []],
])("%j", (parts, expected) => {
  expect(names(parts)).toStrictEqual(expected);
});

test.each([
  [["mik"], /mik/],
  [["4"], /"4"/],
  [["1-5"], /"4"/],
])("refuses %j", (only, message) => {
  expect(() => names({ only })).toThrow(message);
});

test("a number is not a misspelling of another one, a name is", () => {
  const hint = (only: string) => {
    try {
      names({ only: [only] });
    } catch (error) {
      return (error as { hint?: string }).hint;
    }
  };
  expect(hint("lime")).toMatch(/line/);
  expect(hint("13")).not.toMatch(/mean/);
});
