import { expect, test } from "vitest";
import { isStretchAround } from "../../../src/rank/shared/stretch-around.js";
import type { SharedPartKind } from "../../../src/rank/shared/types.js";

// Expected: a run of neighbours has no gap in the desk's order; it contains a set if no path of that is
// missing; only sets that nobody named are compared.

const desk = ["a", "b", "c", "d", "e", "f"];

/** Strips as a set, each with one path. */
function set(strips: string, kind: SharedPartKind = "bank", name?: string) {
  const own = [...strips];
  return {
    part: { kind, strips: own, ...(name === undefined ? {} : { name }) },
    members: new Set(own.map((strip) => `${strip}/mic`)),
  };
}

test.each([
  ["neighbours around a set with a gap", set("abcd"), set("abd"), true],
  ["at the end of the desk", set("cdef"), set("cdf"), true],
  ["in the middle", set("bcde"), set("bde"), true],
  ["given in another order", set("dbca"), set("abd"), true],
  ["around a run", set("abcd"), set("abc"), true],
  ["with a gap itself", set("abce"), set("abc"), false],
  ["with a gap of as many as there are strips", set("acef"), set("ace"), false],
  ["of other strips", set("cdef"), set("abc"), false],
  ["that lacks one strip of the set", set("bcde"), set("abc"), false],
  ["the same set", set("abc"), set("abc"), false],
  ["fewer", set("abc"), set("abcd"), false],
  ["a named bank", set("abcd", "bank", "A"), set("abd"), false],
  ["around a named bank", set("abcd"), set("abd", "bank", "A"), false],
  ["a ribbon without a name", set("abcd", "ribbon"), set("abd"), false],
  ["around a ribbon without a name", set("abcd"), set("abd", "ribbon"), false],
  ["a named ribbon", set("abcd", "ribbon", "A"), set("abd"), false],
])("%s", (_, one, within, expected) => {
  expect(isStretchAround(one, within, desk)).toBe(expected);
});

test("all paths of the set count, not some", () => {
  const line = { ...set("abd"), members: new Set(["a/mic", "b/mic", "d/line"]) };
  expect(isStretchAround(set("abcd"), line, desk)).toBe(false);
});

test("a part without strips is no stretch", () => {
  const members = new Set(["a/mic", "b/mic", "c/mic", "d/mic"]);
  expect(isStretchAround({ part: { kind: "bank" }, members }, set("abd"), desk)).toBe(false);
});
