import { describe, expect, it } from "vitest";
import { alignEpochs } from "../../../src/history/trend/align-epochs.js";
import type { Series } from "../../../src/history/trend/series.js";
import { computeTrends } from "../../../src/history/trend/trends.js";
import type { TrendLimit } from "../../../src/history/trend/types.js";
import type { Round } from "../../../src/history/types.js";
import { reading } from "../../helpers/families.js";
import { family, round } from "../rounds-of.js";

// Expected: closed forms. First-order high-passes in cascade add by the squares of their corners, far
// above them, so an exchange of the interface adds the difference of its squares to every path's.

function seriesOf(k: number, corners: readonly number[], epochs: readonly number[]): Series {
  const path = family(k + 1, () => ({ readings: {} }))[k];
  return {
    path: path as never,
    points: corners.map((hz, i) => ({
      round: i,
      years: i - corners.length + 1,
      y: Math.log(hz),
      epoch: epochs[i],
    })),
  };
}

const cascade = (...corners: readonly number[]) => Math.hypot(...corners);

describe("corners across an exchange of the interface", () => {
  const interfaces = [1, 1, 3];
  const strips = [2, 3, 4, 5, 6];
  const made = strips.map((own, k) =>
    seriesOf(
      k,
      interfaces.map((one, i) => cascade(one, k === 0 ? own * 1.4 ** i : own)),
      [0, 0, 1],
    ),
  );

  it("takes the difference of the interfaces out of all paths, and leaves a part's course", () => {
    alignEpochs(made).forEach(({ points }, k) => {
      points.forEach(({ y, epoch }, i) => {
        expect(epoch).toBe(1);
        expect(Math.exp(y)).toBeCloseTo(cascade(3, k === 0 ? 2 * 1.4 ** i : strips[k]), 9);
      });
    });
  });

  it("leaves the series alone where too few paths tell", () => {
    expect(alignEpochs(made.slice(0, 3))).toEqual(made.slice(0, 3));
  });

  it("leaves them alone where the earlier corners were mostly the interface's", () => {
    const poor = strips.map((own, k) => seriesOf(k, [cascade(30, own), own], [0, 1]));
    expect(alignEpochs(poor)).toEqual(poor);
  });
});

describe("a capacitor that dries while the interface is exchanged", () => {
  // A share of what is left is lost each year; the interface's own corner and level change once.
  const own = (year: number) => 3 / 0.7 ** (year - 2030);
  const at = (year: number, k: number) =>
    cascade(2, 3.5, year >= 2034 ? 1.6 : 0.8, k === 4 ? own(year) : 3);
  const years = [2030, 2031, 2032, 2033, 2034, 2035];
  const rounds = years.map(
    (year): Round =>
      round(
        `${year}-04-02`,
        family(10, (k) => ({
          readings: {
            cornerLow: reading(at(year, k), "Hz"),
            level: reading(year >= 2034 ? -16.7 : -18, "dBFS"),
          },
        })),
      ),
  );
  const band: TrendLimit = { name: "band", value: 20, side: "upper" };
  const { paths, conditions } = computeTrends(rounds, () => [band]);
  const corner = paths.filter(({ reading: id }) => id === "cornerLow")[4];

  it("calls its last step no exchanged part", () => {
    expect(conditions).toMatchObject([{ code: "new-epoch", because: { code: "level-step" } }]);
    expect(corner.jumps).toEqual([]);
  });

  it("comes to the limit when its course does, by rounds from before the exchange", () => {
    let due = 2035;
    while (at(due, 4) < 20) due += 0.01;
    expect(corner.crossing?.from).toBeLessThanOrEqual(due - 2035);
    expect(corner.crossing?.until).toBeGreaterThanOrEqual(due - 2035);
    expect(Math.abs((corner.crossing?.years ?? 0) - (due - 2035))).toBeLessThan(0.3);
  });
});

describe("squares of corners across an exchange", () => {
  // Whole squares: of each path's own, what its parts add a year, and 8 of another interface at once.
  const own = [40, 90, 160, 250, 360];
  const pace = [1, 4, 2, 3, 5];
  const seriesAt = (
    years: readonly number[],
    epochs: readonly number[],
    added: readonly number[],
    strips: readonly number[] = own,
  ) =>
    strips.map((square, k): Series => {
      const { path } = seriesOf(k, [1], [0]);
      const points = years.map((t, i) => ({
        round: i,
        years: t,
        y: Math.log(square + pace[k] * t + added[epochs[i]]) / 2,
        epoch: epochs[i],
      }));
      return { path, points };
    });
  const squares = (found: readonly Series[]) =>
    found.map(({ points }) => points.map(({ y }) => Math.exp(2 * y)));
  const expected = (years: readonly number[], added: number, strips = own) =>
    strips.map((square, k) => years.map((t) => expect.closeTo(square + pace[k] * t + added, 6)));

  it("leave to each path what its own parts did in the years between, by its own rounds", () => {
    // Two readings of one day, and three years without any.
    const years = [-6, -6, -5, -2, 0];
    const found = alignEpochs(seriesAt(years, [0, 0, 0, 1, 1], [0, 8]));
    expect(squares(found)).toEqual(expected(years, 8));
    for (const { points } of found)
      expect(points.map(({ epoch }) => epoch)).toEqual([1, 1, 1, 1, 1]);
  });

  it("are put on the terms of the last of several", () => {
    const years = [-6, -5, -4, -3, -1, 0];
    const found = alignEpochs(seriesAt(years, [0, 0, 1, 1, 2, 2], [0, 8, 5]));
    expect(squares(found)).toEqual(expected(years, 5));
    for (const { points } of found) expect(new Set(points.map(({ epoch }) => epoch)).size).toBe(1);
  });

  it("are told by four paths, each round by itself where there is but one an epoch", () => {
    const years = [-1, 0];
    const four = own.slice(0, 4);
    // What each did in the year cannot be told from the interface: 8 and the middle of 1, 4, 2, 3.
    const found = squares(alignEpochs(seriesAt(years, [0, 1], [0, 8], four)));
    expect(found.map(([first]) => first)).toEqual(
      four.map((square, k) => expect.closeTo(square - pace[k] + 10.5, 6)),
    );
    const three = seriesAt(years, [0, 1], [0, 8], own.slice(0, 3));
    expect(alignEpochs(three)).toBe(three);
  });

  it("stay where one path's was mostly the interface's", () => {
    // 30 less of all, of which one path had but 40.
    const made = seriesAt([-3, -2, -1, 0], [0, 0, 1, 1], [30, 0], [20, 90, 160, 250, 360]);
    expect(alignEpochs(made)).toBe(made);
    const enough = seriesAt([-3, -2, -1, 0], [0, 0, 1, 1], [30, 0], [40, 90, 160, 250, 360]);
    expect(alignEpochs(enough)).not.toBe(enough);
  });
});
