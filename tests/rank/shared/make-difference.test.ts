import { describe, expect, test } from "vitest";
import { isMakeDifference, mayBeMakeDifference } from "../../../src/rank/shared/make-difference.js";
import type { Row } from "../../../src/rank/shared/rows.js";
import type { Score } from "../../../src/rank/shared/score-candidate.js";
import type { SharedAspect, SharedPart } from "../../../src/rank/shared/types.js";

// Expected: the sentences of both functions, with a quarter and two fifths of the paths, and four
// practical floors of what makes differ by (the aspects' facets).

type Moved = readonly [aspect: SharedAspect, least: number, deviation: number];

/** What `size` paths have in common. */
function score(size: number, moved: readonly Moved[], part: SharedPart = { kind: "bank" }): Score {
  return {
    candidate: {
      part,
      members: new Set(Array.from({ length: size }, (_, k) => `${k + 1}/mic`)),
      logPrior: 0,
    },
    logOdds: 0,
    logOddsApart: 0,
    aspects: moved.map(([aspect]) => aspect),
    moved: moved.map(([aspect, least, deviation]) => ({
      row: { aspect, least } as Row,
      family: "mic",
      inside: deviation,
      outside: 0,
      deviation,
      nats: 1,
      showing: [],
    })),
  };
}

const two: readonly Moved[] = [
  ["bass", 1, 1],
  ["noise", 3, 1],
];

describe("a difference of another make", () => {
  test.each([
    ["a quarter of all paths", score(2, two), 8, true],
    ["fewer", score(2, two), 9, false],
    ["a part with a name", score(4, two, { kind: "bank", name: "A" }), 8, false],
    ["a ribbon without a name", score(4, two, { kind: "ribbon" }), 8, false],
    ["hum beside it", score(4, [...two, ["hum-odd", 8, 1]], undefined), 8, false],
    ["hum first", score(4, [["hum-odd", 8, 1], ...two], undefined), 8, false],
    ["one aspect of half of them", score(4, [["bass", 1, 1]]), 8, false],
    ["one aspect of most of them", score(5, [["bass", 1, 1]]), 8, true],
  ] as const)("%s", (_, own, paths, expected) => {
    expect(isMakeDifference(own, paths)).toBe(expected);
  });

  test("of two aspects of one mechanism is one of most paths, and of two mechanisms one of any", () => {
    const treble: readonly Moved[] = [
      ["level", 1.2, 1],
      ["treble", 1, 1],
    ];
    expect(isMakeDifference(score(4, treble), 8)).toBe(false);
    expect(isMakeDifference(score(5, treble), 8)).toBe(true);
    expect(isMakeDifference(score(4, [...treble, ["bass", 1, 1]]), 8)).toBe(true);
  });

  test.each([
    // Four floors of 1 dB as such, of 3 dB at two thirds, and of 1.2 dB at 0.7 of 1.2.
    ["bass", 1, 4],
    ["noise", 3, 8],
    ["level", 1.2, 2.8],
  ] as const)("is small: %s by no more than four floors", (aspect, least, most) => {
    for (const sign of [1, -1]) {
      const of = (deviation: number) =>
        score(5, [
          ["distortion", 6, 1],
          ["treble", 1, 1],
          [aspect, least, sign * deviation],
        ]);
      const judged = (deviation: number) => [
        isMakeDifference(of(deviation), 8),
        mayBeMakeDifference(of(deviation), 8),
      ];
      expect(judged(most - 0.001)).toStrictEqual([true, true]);
      expect(judged(most + 0.001)).toStrictEqual([false, false]);
    }
  });

  test("of exactly four floors is small enough", () => {
    expect(mayBeMakeDifference(score(4, [["bass", 1, 4]]), 8)).toBe(true);
  });
});

describe("a difference that may be one of another make", () => {
  test.each([
    ["two fifths of all paths", score(4, [["bass", 1, 1]]), 10, true],
    ["fewer", score(4, [["bass", 1, 1]]), 11, false],
    ["a part with a name", score(4, two, { kind: "bank", name: "A" }), 8, false],
    ["a ribbon without a name", score(4, two, { kind: "ribbon" }), 8, false],
    ["hum beside it", score(4, [...two, ["hum-odd", 8, 1]], undefined), 8, false],
    ["none but hum", score(4, [["hum-odd", 8, 1]]), 8, false],
  ] as const)("%s", (_, own, paths, expected) => {
    expect(mayBeMakeDifference(own, paths)).toBe(expected);
  });
});
