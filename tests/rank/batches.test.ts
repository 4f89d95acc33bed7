import { describe, expect, it } from "vitest";
import { applyBatches, findBatches } from "../../src/rank/batches.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading } from "../helpers/families.js";

// Two crowds drawn apart by more than Ashman's D of 5 in several readings.

const wobble = (i: number, size: number) => size * (((i * 7) % 5) - 2);

function strip(i: number, renewed: boolean, hissDb = 0) {
  return measurement({
    gain: reading(wobble(i, 0.05)),
    hiss: reading(-100 + (renewed ? -4 : 0) + wobble(i, 0.1) + hissDb, "dBFS", 0.1),
    thd: reading(-80 + (renewed ? -9 : 0) + wobble(i + 1, 0.2)),
    cornerLow: reading((renewed ? 2 : 4) * (1 + wobble(i, 0.01)), "Hz", 0.01),
  });
}

describe("batchesOf", () => {
  it("finds renewed and original strips by two readings that part a family alike, and names them", () => {
    const paths = family(Array.from({ length: 12 }, (_, i) => strip(i, i >= 7)));
    expect(findBatches(paths)).toEqual([
      {
        family: "mic",
        members: [
          paths.slice(0, 7).map(({ path }) => path),
          paths.slice(7).map(({ path }) => path),
        ],
        differ: expect.arrayContaining(["distortion", "hiss"]),
      },
    ]);
  });

  it("ranks within the batch: what is usual for an original is odd for a renewed one", () => {
    const strips = Array.from({ length: 16 }, (_, i) => strip(i, i >= 8, i === 12 ? 4 : 0));
    const paths = family(strips);
    const ranked = rankPaths(applyBatches(paths, findBatches(paths)));
    expect(ranked[12].rank).toBe(1);
    expect(ranked[12].findings[0]).toMatchObject({
      reading: "hiss",
      expected: expect.closeTo(-104, 0),
    });
    expect(ranked.filter(({ findings }) => findings.length > 0)).toHaveLength(1);
  });

  it("sees one crowd in healthy strips, and in a family of which two in five are gravely ill alike", () => {
    expect(findBatches(family(Array.from({ length: 12 }, (_, i) => strip(i, false))))).toEqual([]);
    const ill = Array.from({ length: 10 }, (_, i) => strip(i, false, i < 4 ? 25 : 0));
    expect(findBatches(family(ill))).toEqual([]);
  });

  it("sees no batches where readings part the family in different ways", () => {
    const mixed = Array.from({ length: 12 }, (_, i) =>
      measurement({
        hiss: reading(-100 + (i % 2 === 0 ? 4 : 0) + wobble(i, 0.1), "dBFS", 0.1),
        thd: reading(-80 + (i < 6 ? 9 : 0) + wobble(i, 0.2)),
      }),
    );
    expect(findBatches(family(mixed))).toEqual([]);
  });
});
