import { expect, test } from "vitest";
import { listLevelSteps } from "../../../../src/rank/shared/reference/list-level-steps.js";
import type { LevelDrift } from "../../../../src/rank/shared/reference/types.js";

const turns = new Map(["1/mic", "2/mic", "3/mic"].map((path, turn) => [path, turn]));
const drift = (parts: Partial<LevelDrift>): LevelDrift => ({
  changeDb: -3,
  uncertaintyDb: 0.1,
  course: "step",
  from: "2/mic",
  handled: "taken-off",
  leftDb: 0.1,
  noise: "stays",
  ...parts,
});
const listed = (parts: Partial<LevelDrift>) => listLevelSteps(drift(parts), turns);

test("a step is a fault of the level that the paths after it share", () => {
  expect(listed({})).toStrictEqual([
    {
      part: { kind: "level" },
      paths: ["2/mic", "3/mic"],
      findings: [{ reading: "gain", deviation: -3, unit: "dB", value: -3, expected: 0 }],
      aspect: "level",
      against: "reference-path",
      severity: "service",
      reference: "shows",
    },
  ]);
});

test.each([
  [1.19, []],
  [1.2, ["watch"]],
  [-1.2, ["watch"]],
  [1.79, ["watch"]],
  [1.8, ["service"]],
  [-1.79, ["watch"]],
  [-1.8, ["service"]],
])("of %d dB is told from 1.2 dB on, and is grave from 1.8 dB on", (changeDb, expected) => {
  expect(listed({ changeDb }).map(({ severity }) => severity)).toStrictEqual(expected);
});

test("nothing is told of another course, nor of a step from nowhere", () => {
  expect(listed({ course: "creep" })).toStrictEqual([]);
  expect(listed({ course: "unclear" })).toStrictEqual([]);
  const { from: _, ...nowhere } = drift({});
  expect(listLevelSteps(nowhere, turns)).toStrictEqual([]);
});
