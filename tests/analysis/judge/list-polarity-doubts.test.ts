import { describe, expect, it } from "vitest";
import { listPolarityDoubts } from "../../../src/analysis/judge/list-polarity-doubts.js";

const path = (value?: number) => ({
  readings: value === undefined ? {} : { polarity: { value, unit: "", uncertainty: 0 } },
});

describe("paths that all come back inverted", () => {
  it("are told in a first round", () => {
    const paths = [path(-1), path(-1), path(), path(-1)];
    expect(listPolarityDoubts(paths, { calibrated: false })).toEqual([
      { code: "all-inverted", paths: 3, calibrated: false },
    ]);
  });

  it("are no doubt where one does not, where there are few, or where an earlier round tells", () => {
    expect(
      listPolarityDoubts([path(-1), path(-1), path(-1), path(1)], { calibrated: true }),
    ).toEqual([]);
    expect(listPolarityDoubts([path(-1), path(-1)], { calibrated: true })).toEqual([]);
    const paths = [path(-1), path(-1), path(-1)];
    expect(listPolarityDoubts(paths, { calibrated: false, earlier: {} })).toEqual([]);
  });
});
