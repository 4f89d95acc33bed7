import { expect, it } from "vitest";
import { rememberLast } from "../../src/text/remember-last.js";

it("asks once for each text, and again once it holds as many as it may", () => {
  const asked: string[] = [];
  const find = rememberLast((text) => {
    asked.push(text);
    return text === "a" ? undefined : text.length;
  }, 2);
  expect(["a", "a", "bcd", "bcd", "a"].map(find)).toEqual([undefined, undefined, 3, 3, undefined]);
  expect(asked).toEqual(["a", "bcd"]);
  expect(["ef", "bcd"].map(find)).toEqual([2, 3]);
  expect(asked).toEqual(["a", "bcd", "ef", "bcd"]);
});
