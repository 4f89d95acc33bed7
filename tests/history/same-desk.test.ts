import { describe, expect, it } from "vitest";
import { assertSameDesk, isSameDesk } from "../../src/history/same-desk.js";
import { findSameRecordings } from "../../src/history/same-recordings.js";

// Expected: by definition. The id decides; what has none is of the desk in whose folder it lies.

describe("two rounds", () => {
  it.each([
    ["a", "a", true],
    ["a", "b", false],
    [undefined, "b", true],
    ["a", undefined, true],
    [undefined, undefined, true],
  ])("of the ids %s and %s are of one desk: %s", (a, b, same) => {
    const [one, other] = [
      { id: a, name: "Big desk" },
      { id: b, name: "Big desk" },
    ];
    expect(isSameDesk(one, other)).toBe(same);
    const check = () => assertSameDesk({ id: "2030-04-02-01", desk: one as never }, other);
    if (same) expect(check).not.toThrow();
    else expect(check).toThrow('Round 2030-04-02-01 is of the desk "Big desk" (id a), not of');
  });
});

describe("rounds that were made from the same recordings", () => {
  const of = (id: string, ...sums: readonly string[]) => ({
    id,
    captures: sums.map((sha256) => ({ sha256 })),
  });
  const captures = [
    { file: "left.wav", sha256: "aa" },
    { file: "right.wav", sha256: "bb" },
  ];

  it("are told with the files' names of now, the latest round first", () => {
    const rounds = [of("1", "bb"), of("2", "cc"), of("3", "aa", "bb", "cc"), of("4", "aa")];
    expect(findSameRecordings(rounds, captures)).toEqual([
      { round: "4", files: ["left.wav"], share: "some" },
      { round: "3", files: ["left.wav", "right.wav"], share: "all" },
      { round: "1", files: ["right.wav"], share: "some" },
    ]);
    expect(findSameRecordings([of("1")], captures)).toEqual([]);
    expect(findSameRecordings([], captures)).toEqual([]);
  });
});
