import { expect, it } from "vitest";
import { formatPathList } from "../../src/desk/format-path-list.js";

it.each([
  [["1/mic", "2/mic", "3/mic", "1/line"], "1-3/mic,1/line"],
  [["7/mic"], "7/mic"],
  [["9/mic", "10/mic", "12/mic"], "9-10/mic,12/mic"],
  [["2/mic", "1/mic"], "2/mic,1/mic"],
  [["A1/mic", "A2/mic"], "A1/mic,A2/mic"],
  [["1/mic", "2/line", "3/mic"], "1/mic,2/line,3/mic"],
])("writes %j as %s", (paths, text) => {
  expect(formatPathList(paths)).toBe(text);
});
