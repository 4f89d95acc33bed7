import { expect, test } from "vitest";

const script = new URL("../../scripts/same-rounds-differences.mjs", import.meta.url).href;
const { findDifferences } = await import(script);

const round = {
  tool: { name: "deskround", version: "0.1.0" },
  warnings: ["The clip lamp was lit."],
  paths: [
    { path: "1/mic", gain: -1.25, curve: [1, 2, 3] },
    { path: "7/mic", gain: 0, curve: [4, 5, 6] },
  ],
};
const paths = (gain: number, curve: number[]) => ({
  ...round,
  paths: [round.paths[0], { path: "7/mic", gain, curve }],
});

test("a round is the same as itself, whichever program made it", () => {
  const again = { ...round, tool: { name: "deskround", version: "0.2.0" } };
  expect(findDifferences(round, again)).toMatchObject({ changed: [], added: [], reworded: [] });
});

test("a value that differs is reported with its place, minus zero included", () => {
  expect(findDifferences(round, paths(0.5, [4, 5, 6])).changed).toEqual([
    "paths[7/mic].gain: 0 → 0.5 (1.0e+0 of it)",
  ]);
  expect(findDifferences(round, paths(0, [4, 5.5, 6])).changed).toEqual([
    "paths[7/mic].curve[1]: 5 → 5.5 (9.1e-2 of it)",
  ]);
  expect(findDifferences({ a: 0 }, { a: -0 }).changed).toHaveLength(1);
});

test("what went is a difference, in objects and in lists", () => {
  expect(findDifferences(round, paths(0, [4, 5])).changed).toEqual([
    "paths[7/mic].curve: 3 entries → 2",
  ]);
  expect(findDifferences({ a: { b: 1 } }, { a: {} }).changed).toEqual(["a.b: 1 → nothing"]);
});

test("added keys and other words stand apart", () => {
  const more = {
    ...round,
    doubts: [],
    warnings: ["The clip lamp is lit."],
    paths: round.paths.map((path) => ({ ...path, aspect: "level" })),
  };
  const { changed, added, reworded } = findDifferences(round, more);
  expect(changed).toEqual([]);
  expect(new Set(added)).toEqual(new Set(["doubts", "paths[].aspect"]));
  expect(reworded).toEqual(['warnings[0]: "The clip lamp was lit." → "The clip lamp is lit."']);
});

test("one word in place of another is a difference, not another wording", () => {
  expect(findDifferences({ verdict: "sound" }, { verdict: "worn" }).changed).toHaveLength(1);
});
