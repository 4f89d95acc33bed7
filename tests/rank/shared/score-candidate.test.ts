import { describe, expect, it } from "vitest";
import type { Candidate } from "../../../src/rank/shared/list-candidates.js";
import { readRows, scoreCandidate } from "../../../src/rank/shared/score-candidate.js";
import type { PlacedInput, SharedPart } from "../../../src/rank/shared/types.js";
import { type Change, drawDesk, stripNames } from "../../helpers/shared-desk.js";

const count = 12;

function score(
  part: SharedPart,
  strips: readonly number[],
  change: Change,
  inputs: readonly string[] = ["line"],
) {
  const paths = drawDesk(3, count, inputs, change);
  const members = new Set(
    paths.flatMap(({ path, strip }) => (strips.includes(Number(strip)) ? [path] : [])),
  );
  const candidate: Candidate = { part, members, logPrior: 0 };
  return scoreCandidate(candidate, readRows(paths, stripNames(count)));
}

/** Changes these strips and leaves the others. */
const on =
  (strips: readonly number[], change: Readonly<Record<string, number>>): Change =>
  ({ strip }) =>
    strips.includes(Number(strip)) ? change : {};

const quiet = { gain: -6, level: -6 };

describe("strips that nobody named as sharing anything", () => {
  const bank: SharedPart = { kind: "bank" };

  it("share what three of them show, and two have each by itself", () => {
    const three = [5, 6, 7];
    expect(score(bank, three, on(three, quiet)).aspects).toEqual(["level"]);
    const two = [5, 6];
    expect(score(bank, two, on(two, quiet)).aspects).toEqual([]);
  });

  it("are believed from two on where the desk file names them, or a part that they share", () => {
    const two = [5, 6];
    for (const part of [{ ...bank, name: "A" }, { kind: "ribbon" }] as const) {
      expect(score(part, two, on(two, quiet)).aspects).toEqual(["level"]);
    }
  });
});

describe("odd lines of the mains", () => {
  const ribbon: SharedPart = { kind: "ribbon", name: "A" };
  const hum = (change: Change, strips: readonly number[]) => score(ribbon, strips, change).aspects;

  it("are a part's where they step by 8 dB between neighbours, and a field's where they do not", () => {
    const half = [1, 2, 3, 4, 5, 6];
    expect(hum(on(half, { humOdd: 20 }), half)).toEqual(["hum-odd"]);
    // 2.5 dB a strip, over all of the desk: 15 dB between the middles, and no step.
    expect(hum(({ strip }) => ({ humOdd: 2.5 * (count - Number(strip)) }), half)).toEqual([]);
  });

  it("are a part's where its strips have no neighbour that lacks it", () => {
    // Strips 5 to 8 were not recorded: none outside is within two places of those inside.
    const half = [1, 2, 3, 4];
    const paths = drawDesk(3, count, ["line"], on(half, { humOdd: 20 })).filter(
      ({ strip }) => Number(strip) < 5 || Number(strip) > 8,
    );
    const members = new Set(paths.slice(0, 4).map(({ path }) => path));
    const rows = readRows(paths, stripNames(count));
    expect(scoreCandidate({ part: ribbon, members, logPrior: 0 }, rows).aspects).toEqual([
      "hum-odd",
    ]);
  });
});

describe("a level that was touched", () => {
  const later = [7, 8, 9, 10, 11, 12];
  const touched: SharedPart = { kind: "level" };
  /** A part of no kind that is readier for one aspect than for another. */
  const other: SharedPart = { kind: "bank", name: "A" };
  const odds = (part: SharedPart, change: Readonly<Record<string, number>>) =>
    score(part, later, on(later, change)).logOdds;

  it("explains nothing where the level is as before", () => {
    const bent = { thd: 18, thdHot: 18 };
    // what all strips together may say at most is taken off
    expect(odds(touched, bent) - odds(other, bent)).toBeCloseTo(-12, 9);
  });

  it("explains no distortion beside the level", () => {
    const both = { ...quiet, thd: 30, thdHot: 30 };
    expect(odds(touched, both) - odds(other, both)).toBeCloseTo(-12, 9);
  });

  it("explains a loss as well as a part does that is as ready for it", () => {
    expect(odds(touched, quiet) - odds(other, quiet)).toBeCloseTo(0, 9);
  });

  it("explains a loss that noise and hum went along with", () => {
    const all = { ...quiet, hiss: -6, noise: -6, humOdd: -6, humEven: -6 };
    expect(odds(touched, all)).toBeGreaterThan(odds(touched, quiet));
    expect(score(touched, later, on(later, all)).aspects[0]).toBe("level");
  });

  it("explains no hum that rose by far more than the level", () => {
    const up = { gain: 6, level: 6 };
    const with20 = { ...up, humOdd: 20 };
    // two nats off, as the one row has it
    expect(odds(touched, with20) - odds(other, with20)).toBeCloseTo(-2, 9);
    expect(odds(touched, up) - odds(other, up)).toBeCloseTo(0, 9);
  });
});

it("a part behind the place where inputs join is unlikely where it adds more to one of them", () => {
  const half = [1, 2, 3, 4, 5, 6];
  // A mic input hisses 6 dB more by itself: what is added makes the same level on both.
  const added = (more: number) => ({
    mic: { noise: 20 + more, hiss: 14 + more },
    line: { noise: 20, hiss: 20 },
  });
  const odds = (kind: "group" | "supply", more: number) =>
    score(
      { kind, name: "A" },
      half,
      ({ strip, input }): Readonly<Record<string, number>> =>
        half.includes(Number(strip)) ? added(more)[input as "mic" | "line"] : {},
      ["mic", "line"],
    ).logOdds;
  const against = (more: number) => odds("group", more) - odds("supply", more);
  expect(against(10)).toBeCloseTo(against(0) - 5, 9);
});

it("a row counts only where two paths are on either side", () => {
  const inside = (strips: readonly number[]) =>
    score({ kind: "ribbon", name: "A" }, strips, on(strips, quiet)).moved.length;
  expect(inside([4])).toBe(0);
  expect(inside([4, 5])).toBeGreaterThan(0);
  const paths: readonly PlacedInput[] = drawDesk(1, 3, ["line"]);
  expect(readRows(paths, stripNames(3))).toEqual([]);
});
