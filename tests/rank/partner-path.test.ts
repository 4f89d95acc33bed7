import { describe, expect, test } from "vitest";
import type { Measurement, Reading } from "../../src/measure/types.js";
import type { PathToRank } from "../../src/rank/family-stats.js";
import {
  alignSides,
  getUsualSecond,
  isSecondSilent,
  toPartnerPath,
} from "../../src/rank/partner-path.js";
import { rankPartners } from "../../src/rank/rank-partners.js";
import { measurement, reading } from "../helpers/families.js";

type Side = "left" | "right";

/** A path whose second side is the given one; its own side has a gain of 1 dB, the second one of 2. */
function stereo(side: Side, more: Readonly<Record<string, Reading>> = {}): PathToRank {
  const second = { readings: { gain: reading(2) }, absent: {}, curves: {} };
  return {
    path: "7/mic",
    family: "mic",
    measurement: {
      ...measurement({ gain: reading(1), ...more }),
      absent: { thd: { code: "too-noisy" } } as unknown as Measurement["absent"],
      partner: { side, ...second },
    },
  };
}
const mono: PathToRank = { path: "8/mic", family: "mic", measurement: measurement({}) };
const missing: PathToRank = { path: "9/mic", family: "mic" };
const silent = { balance: { ...reading(90), bound: "lower" as const } };

describe("the second side of a path", () => {
  test("is a path of its own, in a family of such sides", () => {
    expect(toPartnerPath(stereo("left"))).toStrictEqual({
      path: "7/mic, left side",
      family: "mic (left side)",
      measurement: { readings: { gain: reading(2) }, absent: {}, curves: {} },
    });
    expect(toPartnerPath(mono)).toBeUndefined();
    expect(toPartnerPath(missing)).toBeUndefined();
  });

  test("is unheard where the balance is a bound", () => {
    expect(toPartnerPath(stereo("right", silent))).toStrictEqual({
      path: "7/mic, right side",
      family: "mic (right side)",
      unheard: { code: "side-silent", side: "right" },
    });
    expect(isSecondSilent({ readings: silent })).toBe(true);
    expect(isSecondSilent({ readings: { balance: reading(3) } })).toBe(false);
    expect(isSecondSilent({ readings: {} })).toBe(false);
  });

  test.each([
    [[], undefined],
    [["left"], "left"],
    [["right"], "right"],
    [["left", "left", "right"], "left"],
    // As many of either: the right one, which is the second as a rule.
    [["left", "right"], "right"],
    [["left", "right", "right"], "right"],
  ] as const)("is, of %j, mostly %s", (sides, usual) => {
    expect(getUsualSecond([missing, mono, ...sides.map((side) => stereo(side))])).toBe(usual);
  });
});

describe("alignSides", () => {
  test("exchanges the sides of those that are the other way round, and of no others", () => {
    const [left, right] = [stereo("left"), stereo("right")];
    const paths = [right, right, left, mono, missing];
    const [one, two, turned, ...others] = alignSides(paths);
    expect([one, two, ...others]).toStrictEqual([right, right, mono, missing]);
    expect(turned).toStrictEqual({
      path: "7/mic",
      family: "mic",
      measurement: {
        readings: { gain: reading(2) },
        absent: {},
        curves: {},
        partner: {
          side: "right",
          readings: { gain: reading(1) },
          absent: { thd: { code: "too-noisy" } },
          curves: {},
        },
      },
    });
  });

  test("leaves a path alone whose second side is silent, and all where none is in stereo", () => {
    const quiet = stereo("left", silent);
    expect(alignSides([stereo("right"), stereo("right"), quiet])[2]).toBe(quiet);
    const paths = [mono, missing];
    expect(alignSides(paths)).toBe(paths);
  });
});

describe("rankPartners", () => {
  /** Paths by the gains of their two sides. */
  const desk = (...gains: readonly (readonly [first: number, second: number])[]) =>
    gains.map(([first, second], k): PathToRank => {
      const partner = { side: "right" as const, ...measurement({ gain: reading(second) }) };
      const own = { ...measurement({ gain: reading(first) }), partner };
      return { path: `${k + 1}/mic`, family: "mic", measurement: own };
    });
  const sound = Array<readonly [number, number]>(6).fill([0, 0]);
  const spoken = (first: number, second: number) =>
    rankPartners(desk([first, second], ...sound))[0].spoken.path;

  test("has the odder side speak, and the first where both are as odd", () => {
    expect(spoken(0, -20)).toBe("1/mic, right side");
    expect(spoken(-20, 0)).toBe("1/mic");
    expect(spoken(-20, -20)).toBe("1/mic");
  });

  test("ranks by what speaks, and in the former order where that is alike", () => {
    const ranks = (...odd: readonly (readonly [number, number])[]) =>
      rankPartners(desk(...odd, ...sound)).map(({ rank }) => rank);
    expect(ranks([0, 0], [0, -20])).toStrictEqual([2, 1, 3, 4, 5, 6, 7, 8]);
    expect(ranks([-3, 0], [0, -20])).toStrictEqual([2, 1, 3, 4, 5, 6, 7, 8]);
    expect(ranks([0, 0], [0, 0])).toStrictEqual([1, 2, 3, 4, 5, 6, 7, 8]);
  });

  test("has no place for what was not measured", () => {
    const [one] = rankPartners([missing, ...desk(...sound)]);
    expect(one).toStrictEqual({ path: "9/mic", oddness: 0, findings: [], spoken: missing });
    expect(one).not.toHaveProperty("rank");
    expect(rankPartners([missing, ...desk(...sound)])[1].rank).toBe(1);
  });
});
