import { describe, expect, it, test } from "vitest";
import {
  findRollOff,
  nextIndependentHz,
  type ResponseLevel,
  type ResponseSide,
  type RollOff,
} from "../../src/measure/roll-off.js";

// Expected: crossings and slopes of curves made of straight stretches in ln f, and closed forms of first
// order; the parts of an uncertainty as the comments of roll-off.ts promise them.

const halfPowerDb = 10 * Math.log10(2);
const dbPerNeper = 20 * Math.LOG10E;

interface Given {
  readonly end?: "low" | "high";
  readonly edgeHz?: number;
  readonly stdDev?: number;
  readonly reference?: number;
  /** Added to every other point of the fit, taken off the rest, decibels. */
  readonly ripple?: number;
  /** Of the points of the fit, where they are not those that cross. */
  readonly fitted?: (hz: number) => number;
}

/** One end of a response in 48 points an octave, its fit in twelve. */
function sideOf(level: (hz: number) => number, given: Given = {}) {
  const { end = "low", edgeHz = 10, stdDev = 1e-6, reference = 0, ripple = 0 } = given;
  const { fitted = level } = given;
  const at = (hz: number) => ({ hz, db: level(hz), stdDev });
  const towards = end === "low" ? 2 ** (-1 / 48) : 2 ** (1 / 48);
  const side: ResponseSide = {
    ...{ end, edgeHz, reference, at },
    *outwards() {
      for (let hz = 1000 * towards; end === "low" ? hz >= edgeHz : hz <= edgeHz; hz *= towards) {
        yield at(hz);
      }
    },
    between: (fromHz, toHz) => {
      const points: ResponseLevel[] = [];
      for (let hz = fromHz; hz <= toHz; hz *= 2 ** (1 / 12)) {
        const off = points.length % 2 === 0 ? ripple : -ripple;
        points.push({ hz, db: fitted(hz) + off, stdDev });
      }
      return points;
    },
  };
  return side;
}
const find = (level: (hz: number) => number, given?: Given) => findRollOff(sideOf(level, given));
const highPass =
  (cornerHz: number, order = 1) =>
  (hz: number) =>
    -10 * Math.log10(1 + (cornerHz / hz) ** (2 * order));
const lowPass =
  (cornerHz: number, order = 1) =>
  (hz: number) =>
    -10 * Math.log10(1 + (hz / cornerHz) ** (2 * order));
const read = ({ corner }: RollOff) => {
  if (!("hz" in corner)) throw new Error(corner.absent.code);
  return corner;
};

describe("a crossing of −3.01 dB", () => {
  /** Points a tenth of a neper apart with these levels, straight between them, and nothing to fit. */
  function pointed(levels: readonly number[], stdDev: number, reference = 0) {
    const hzOf = (k: number) => 1000 * Math.exp(-0.1 * k);
    let taken = 0;
    const side: ResponseSide = {
      ...{ end: "low", edgeHz: 1, reference },
      *outwards() {
        for (let k = 1; k < levels.length; k++) {
          taken++;
          yield { hz: hzOf(k), db: levels[k], stdDev };
        }
      },
      at: (hz) => {
        const k = 10 * Math.log(1000 / hz);
        const far = Math.min(levels.length - 1, Math.floor(k + 1e-9) + 1);
        const db = levels[far - 1] + (k - far + 1) * (levels[far] - levels[far - 1]);
        return { hz, db, stdDev };
      },
      between: () => [],
    };
    return { roll: findRollOff(side), taken: () => taken, hzOf };
  }
  const line = (count: number, perPoint: number) =>
    Array.from({ length: count }, (_, k) => -perPoint * k);

  it("is as sure as the level there and at 1 kHz, by the slope", () => {
    // A decibel a neper: 30.103 points down.
    for (const reference of [0, 0.002]) {
      const { roll, taken, hzOf } = pointed(line(60, 0.1), 0.01, reference);
      const hz = hzOf(10 * halfPowerDb);
      const { hz: found, uncertainty } = read(roll);
      expect(found / hz).toBeCloseTo(1, 5);
      expect(uncertainty / (found * 2 * Math.hypot(0.01, dbPerNeper * reference))).toBeCloseTo(
        1,
        9,
      );
      expect(roll.order).toEqual({ absent: { code: "other-shape", end: "low" } });
      // Four points behind the first that is below, and no more.
      expect(taken()).toBe(31 + 4);
    }
    // No surer than two in ten thousand.
    const { hz, uncertainty } = read(pointed(line(60, 0.1), 1e-6).roll);
    expect(uncertainty / hz).toBeCloseTo(2e-4, 9);
  });

  it.each([
    // The slope is that over nine stretches, from the fifth before the first below to the fourth after …
    ["steeper between", [0, 0, 0, 0, 0, 0, 0, 0, -6, -6, -6, -6, -6], 6 / 0.9],
    // … or that between the two, where it is gentler, but no less than a quarter.
    ["gentler between", [0, 0, 0, 0, 0, -1, -2, -2.9, -3.2, -4, -5, -6, -7.2], 3],
    ["far gentler", [0, 0, 0, 0, 0, -1, -2, -3.0, -3.02, -4, -6, -8, -9], 2.5],
    // At either end with what points there are.
    ["at the beginning", [0, -6, -6, -6, -6, -6], 6 / 0.5],
    ["at the end", [0, 0, 0, 0, 0, 0, 0, 0, -6], 6 / 0.5],
    ["a point from the end", [0, 0, 0, 0, 0, 0, 0, 0, -6, -6], 6 / 0.6],
    // What has been before does not count.
    ["after a slope", [0, -1, -1, -1, -1, -1, -1, -1, -6, -6, -6, -6, -6], 5 / 0.9],
  ])("%s neighbours is as sure as the gentler slope", (_, levels, slope) => {
    const { hz, uncertainty } = read(pointed(levels, 0.1).roll);
    expect(uncertainty / hz / (0.2 / slope)).toBeCloseTo(1, 6);
  });

  it("is less sure by a fifth of how far the curve through four points is off the line", () => {
    // −L³/8 with L = ln(1000/f), three points an octave: between the 12th and the 13th.
    const step = Math.LN2 / 3;
    const crossing = 2 * Math.cbrt(halfPowerDb);
    const levels = (k: number) => -((k * step) ** 3) / 8;
    const far = Math.ceil(crossing / step);
    const straight = (-halfPowerDb - levels(far - 1)) / (levels(far) - levels(far - 1));
    const share = crossing / step - (far - 1);
    const side: ResponseSide = {
      ...{ end: "low", edgeHz: 16, reference: 0 },
      *outwards() {
        for (let k = 1; k < 18; k++) {
          yield { hz: 1000 * Math.exp(-k * step), db: levels(k), stdDev: 1e-9 };
        }
      },
      between: () => [],
    };
    const { hz, uncertainty } = read(findRollOff(side));
    expect(hz / (1000 * Math.exp(-crossing))).toBeCloseTo(1, 4);
    expect(Math.abs(share - straight)).toBeGreaterThan(0.01);
    const expected = Math.max(2e-4, 0.2 * Math.abs(share - straight) * step);
    expect(expected).toBeGreaterThan(2e-4);
    expect(Math.abs(uncertainty / hz / expected - 1)).toBeLessThan(0.02);
  });

  it("is none where the response stays above it", () => {
    expect(pointed([0, -1, -3, -1, 0], 0.01).roll).toEqual({
      corner: { absent: { code: "corner-beyond-sweep", end: "low", edgeHz: 1 } },
      order: { absent: { code: "no-roll-off" } },
    });
  });
});

describe("the fit of a roll-off", () => {
  it.each([
    // Twelve times the corner, no less than 250 Hz and no more than 1 kHz.
    ["low", 10, highPass(40), 10, 480],
    ["low", 10, highPass(15), 10, 250],
    ["low", 10, highPass(200), 10, 1000],
    ["low", 20, highPass(3), 20, 250],
    // A twelfth of it, or of the edge, from 1 to 2 kHz.
    ["high", 20_000, lowPass(15_000), 1250, 20_000],
    ["high", 20_000, lowPass(6000), 1000, 20_000],
    ["high", 20_000, lowPass(90_000), 20_000 / 12, 20_000],
    ["high", 40_000, lowPass(200_000), 2000, 40_000],
  ] as const)("reaches into the flat part: %s, edge %i Hz", (end, edgeHz, level, from, to) => {
    const asked: [number, number][] = [];
    const between: ResponseSide["between"] = (fromHz, toHz) => {
      asked.push([fromHz, toHz]);
      return [];
    };
    findRollOff({ ...sideOf(level, { end, edgeHz }), between });
    expect(asked).toHaveLength(1);
    // The crossing lies at the corner but for what 1 kHz has lost already.
    expect(asked[0][0] / from).toBeCloseTo(1, 1);
    expect(asked[0][1] / to).toBeCloseTo(1, 1);
  });

  it.each(["low", "high"] as const)("is as sure as the level at 1 kHz: %s", (end) => {
    // First order falls 10/ln 10 dB a neper at its corner: 2·8.686·r/4.343 = 4r of the frequency.
    const [level, edgeHz] = end === "low" ? [highPass(40), 10] : [lowPass(8000), 20_000];
    for (const reference of [0, 1e-3, 4e-3]) {
      const { hz, uncertainty } = read(find(level, { end, edgeHz, reference }));
      expect(uncertainty / hz / Math.hypot(2e-4, 4 * reference)).toBeCloseTo(1, 3);
    }
  });

  it("is not less sure by the level at 1 kHz where the corner lies beyond the sweep", () => {
    const [sure, same] = [0, 0.01].map((reference) => read(find(highPass(4), { reference })));
    expect(same).toEqual(sure);
    expect(sure.hz / 4).toBeCloseTo(1, 3);
  });

  it("gives way to the crossing where it leaves more than noise, and to no order where much more", () => {
    const given = { stdDev: 1e-3 };
    const plain = find(highPass(40), given);
    expect(plain.order).toMatchObject({ value: expect.closeTo(1, 2) });
    // 0.05 dB of rest are less than 0.1: a roll-off still. The crossing is as sure as the level over
    // the slope: 4.343 dB a neper, and a little more or less over nine points.
    const rippled = find(highPass(40), { ...given, ripple: 0.05 });
    const { hz, uncertainty } = read(rippled);
    expect(hz / 40).toBeCloseTo(1, 2);
    expect(uncertainty / hz / (2e-3 / (10 / Math.LN10))).toBeCloseTo(1, 1);
    expect(rippled.order).toHaveProperty("value");
    // More than 0.1 dB, and more than twice what the points scatter.
    const shaped = (ripple: number, stdDev: number) =>
      !("absent" in find(highPass(40), { stdDev, ripple }).order);
    expect([shaped(0.095, 0.02), shaped(0.11, 0.02), shaped(0.11, 0.06)]).toEqual([
      true,
      false,
      true,
    ]);
  });

  it("gives way to a crossing elsewhere", () => {
    const apart = find(highPass(41), { fitted: highPass(40) });
    expect(read(apart).hz / 41).toBeCloseTo(1, 2);
    expect(apart.order).toEqual({ absent: { code: "other-shape", end: "low" } });
    // Within one and a half of both uncertainties, 2e-4 each: 4.2e-4.
    expect(find(highPass(40.014), { fitted: highPass(40) }).order).toHaveProperty("value");
    expect(find(highPass(40.022), { fitted: highPass(40) }).order).toHaveProperty("absent");
  });

  it("is of first to third order, and steeper ones are another shape", () => {
    const of = (order: number) =>
      find(lowPass(12_000, order), { end: "high", edgeHz: 20_000, stdDev: 1e-3 });
    for (const order of [1, 2, 3]) {
      expect(of(order).order).toMatchObject({ value: expect.closeTo(order, 1) });
    }
    const steep = of(9);
    expect(read(steep).hz / 12_000).toBeCloseTo(1, 3);
    expect(steep.order).toEqual({ absent: { code: "other-shape", end: "high" } });
  });
});

describe("a corner beyond the sweep", () => {
  const unseen = (end: "low" | "high", edgeHz: number) => ({
    corner: { absent: { code: "corner-beyond-sweep", end, edgeHz } },
    order: { absent: { code: "no-roll-off" } },
  });
  const other = (end: "low" | "high", edgeHz: number) => ({
    corner: { absent: { code: "corner-beyond-sweep", end, edgeHz, isOtherShape: true } },
    order: { absent: { code: "other-shape", end } },
  });

  it("needs 0.05 dB of droop below", () => {
    // 1.2 Hz: 0.062 dB at 10 Hz, 0.043 at 12.
    expect(read(find(highPass(1.2), { edgeHz: 10 })).hz / 1.2).toBeCloseTo(1, 2);
    expect(find(highPass(1.2), { edgeHz: 12 })).toEqual(unseen("low", 12));
  });

  it("may lie from 1 Hz up to three times the edge", () => {
    expect(find(highPass(0.98), { edgeHz: 7 })).toEqual(unseen("low", 7));
    expect(read(find(highPass(1.02), { edgeHz: 7 })).hz / 1.02).toBeCloseTo(1, 2);
    const high = (cornerHz: number) => find(lowPass(cornerHz), { end: "high", edgeHz: 20_000 });
    expect(read(high(59_000)).hz / 59_000).toBeCloseTo(1, 2);
    expect(high(61_000)).toEqual(unseen("high", 20_000));
  });

  it("needs a hundred times the droop of what is left besides noise, and none may be above", () => {
    // 0.97 dB of droop: 0.008 dB are a hundredth and less, 0.012 more.
    const low = (ripple: number) => find(highPass(5), { stdDev: 1e-4, ripple });
    expect(read(low(0.008)).hz / 5).toBeCloseTo(1, 1);
    expect(low(0.012)).toEqual(other("low", 10));
    const high = (ripple: number) =>
      find(lowPass(40_000), { end: "high", edgeHz: 20_000, stdDev: 1e-3, ripple });
    expect(read(high(1e-4)).hz / 40_000).toBeCloseTo(1, 1);
    expect(high(0.008)).toEqual(other("high", 20_000));
    // So much that it is no roll-off at all.
    expect(low(0.2)).toEqual(unseen("low", 10));
  });

  it("is none of an edge steeper than the third order", () => {
    // 0.4 dB at its end.
    const level = lowPass(23_000, 9);
    expect(find(level, { end: "high", edgeHz: 20_000, stdDev: 1e-3 })).toEqual(
      other("high", 20_000),
    );
  });
});

test.each([
  // A twelfth of an octave up, no less than 1.25 Hz.
  [10, 11.25],
  [1000, 1000 * 2 ** (1 / 12)],
  [21, 22.25],
  [22, 22 * 2 ** (1 / 12)],
])("independent noise after %i Hz begins at %f Hz", (hz, next) => {
  expect(nextIndependentHz(hz)).toBeCloseTo(next, 9);
});
