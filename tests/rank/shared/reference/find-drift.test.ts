import { describe, expect, it } from "vitest";
import { readingKinds } from "../../../../src/measure/reading-kinds.js";
import type { Curve, Measurement, Reading } from "../../../../src/measure/types.js";
import {
  findDriftedReadings,
  findLevelChange,
  isLevelMoved,
} from "../../../../src/rank/shared/reference/find-drift.js";

// Plugs put in again give a level within 0.02 dB, a standard deviation: by itself the level is known
// to 2·0.02 dB of both turns, and a response to hypot(u₁, u₂, 2·0.02) at 95 %. A change is real from
// 3.5 standard deviations on, half of what is given at 95 %.

const of = (value: number, unit = "dB", uncertainty = 0): Reading => ({ value, unit, uncertainty });

function turn(
  readings: Readonly<Record<string, Reading>>,
  curves: Measurement["curves"] = {},
): Measurement {
  return { readings, absent: {}, curves };
}

function response(db: (hz: number) => number, uncertainty = 0): Measurement["curves"] {
  const x = [20, 63, 250, 1000, 4000, 10_000, 18_000];
  const curve: Curve = {
    x,
    y: x.map(db),
    uncertainty: x.map(() => uncertainty),
    xUnit: "Hz",
    yUnit: "dB",
  };
  return { response: curve };
}

const drift = (first: Measurement, last: Measurement) =>
  findDriftedReadings({ into: "bus", first, last });

describe("a response that changed between both turns", () => {
  const by = (db: number, uncertainty?: number) =>
    drift(
      turn(
        {},
        response(() => 0, uncertainty),
      ),
      turn(
        {},
        response((hz) => (hz === 20 ? db : 0), uncertainty),
      ),
    );

  it("is reported no frequency that one of both turns lacks", () => {
    const [whole, none] = [
      turn(
        {},
        response(() => 0),
      ),
      turn({}),
    ];
    expect(drift(whole, none)).toStrictEqual([]);
    expect(drift(none, whole)).toStrictEqual([]);
  });

  it("is reported from half a decibel on where both are known well, with what it was and is", () => {
    expect(by(-0.49)).toStrictEqual([]);
    expect(by(-0.51)).toStrictEqual([
      {
        reading: "response",
        first: 0,
        last: -0.51,
        change: -0.51,
        // two turns of exact curves: the plugs are left
        uncertainty: 0.04,
        unit: "dB",
        atHz: 20,
      },
    ]);
  });

  it("is reported from 3.5 standard deviations on where it is known badly", () => {
    const edge = (3.5 / 2) * Math.hypot(0.4, 0.4, 0.04);
    expect(by(0.99 * edge, 0.4)).toStrictEqual([]);
    expect(by(1.01 * edge, 0.4)).toHaveLength(1);
  });

  it("is reported where it changed most", () => {
    const most = drift(
      turn(
        {},
        response(() => 0),
      ),
      turn(
        {},
        response((hz) => ({ 20: -0.8, 10000: -1.5, 18000: -1.2 })[hz] ?? 0),
      ),
    );
    expect(most.map(({ atHz, change }) => [atHz, change])).toStrictEqual([[10_000, -1.5]]);
  });

  it("is not told where a turn has none, or was missed", () => {
    expect(
      drift(
        turn({}),
        turn(
          {},
          response(() => 9),
        ),
      ),
    ).toStrictEqual([]);
    expect(findDriftedReadings({ into: "bus", last: turn({ hiss: of(-60) }) })).toStrictEqual([]);
  });
});

describe("a reading that changed between both turns", () => {
  const noisier = (hiss: number, gain: number) =>
    drift(
      turn({ gain: of(0), hiss: of(-90, "dBFS") }),
      turn({ gain: of(gain), hiss: of(-90 + hiss, "dBFS") }),
    ).map(({ reading, change }) => [reading, change]);

  it("is reported on its own", () => {
    expect(noisier(8, 0)).toStrictEqual([["hiss", 8]]);
  });

  it("is not told where it only followed the level, by as much as that may move it", () => {
    // a level moves noise by as many decibels as itself, one way
    expect(noisier(6, 6)).toStrictEqual([]);
    expect(noisier(-6, -6)).toStrictEqual([]);
    expect(noisier(6, -6)).toStrictEqual([["hiss", 6]]);
  });

  it("is told by one kind each, unless it does no harm, is the gain's or a part of another", () => {
    for (const { id, harm, aspect, detail, least } of readingKinds) {
      const both = [0, 100 * (least || 1)].map((value) => turn({ [id]: of(value) }));
      const told = drift(both[0], both[1]).map(({ reading }) => reading);
      const isTold = harm !== "none" && aspect !== "gain" && !detail;
      expect(told, id).toStrictEqual(isTold ? [id] : []);
    }
  });

  it("is told without those that only repeat it", () => {
    const hissier = (ids: readonly string[]) =>
      drift(
        turn(Object.fromEntries(ids.map((id) => [id, of(-90, "dBFS")]))),
        turn(Object.fromEntries(ids.map((id) => [id, of(-60, "dBFS")]))),
      ).map(({ reading }) => reading);
    const repeating = readingKinds.filter(
      ({ harm, aspect, detail, repeats }) =>
        repeats !== undefined && harm !== "none" && aspect !== "gain" && !detail,
    );
    expect(repeating).not.toStrictEqual([]);
    for (const { id, repeats = "" } of repeating) {
      expect(hissier([id])).toStrictEqual([id]);
      expect(hissier([id, repeats])).toStrictEqual([repeats]);
    }
  });

  it("has to be there in both turns, and in one unit", () => {
    const first = turn({ hiss: of(-90, "dBFS") });
    expect(drift(first, turn({}))).toStrictEqual([]);
    expect(drift(turn({}), first)).toStrictEqual([]);
    expect(drift(first, turn({ hiss: of(-70, "dBu") }))).toStrictEqual([]);
    expect(drift(first, turn({ hiss: of(-70, "dBFS") }))).toHaveLength(1);
  });

  it("is no change that could be sized between bounds", () => {
    const [seen, low] = [of(-80), { ...of(-100), bound: "upper" } as const];
    expect(drift(turn({ thd: low }), turn({ thd: { ...low, value: -70 } }))).toStrictEqual([]);
    expect(drift(turn({ thd: seen }), turn({ thd: low }))).toStrictEqual([]);
    expect(drift(turn({ thd: low }), turn({ thd: seen }))).toMatchObject([{ change: 20 }]);
  });
});

describe("the level between both turns", () => {
  const change = (gain: number, uncertainty = 0, common = 0) => {
    const one = { ...of(gain, "dB", uncertainty), common };
    return findLevelChange({
      into: "bus",
      first: turn({ gain: { ...one, value: 0 } }),
      last: turn({ gain: one }),
    });
  };

  it("is known as well as both readings and the plugs, less what both share", () => {
    expect(change(1, 0.05)?.uncertainty).toBeCloseTo(Math.hypot(0.05, 0.05, 0.04), 12);
    // 0.05 of which 0.03 is the same in both: 0.04 is each turn's own
    expect(change(1, 0.05, 0.03)?.uncertainty).toBeCloseTo(Math.hypot(0.04, 0.04, 0.04), 12);
  });

  it("moved from 0.15 dB on, or from 3.5 standard deviations", () => {
    const moved = (gain: number, uncertainty: number) => {
      const found = change(gain, uncertainty);
      return found && isLevelMoved(found);
    };
    expect([0.14, 0.16, -0.16].map((gain) => moved(gain, 0))).toStrictEqual([false, true, true]);
    const edge = (3.5 / 2) * Math.hypot(0.2, 0.2, 0.04);
    expect([0.99, 1.01].map((share) => moved(share * edge, 0.2))).toStrictEqual([false, true]);
  });
});

describe("what follows the level, and what does not", () => {
  const floor = (id: string) => readingKinds.find((kind) => kind.id === id)?.least ?? Number.NaN;
  const told = (id: string, change: number, levelDb: number, unit = "dB") =>
    drift(
      turn({ gain: of(0), [id]: of(-90, unit) }),
      turn({ gain: of(levelDb), [id]: of(-90 + change, unit) }),
    ).some(({ reading }) => reading === id);
  /** Whether a change a little below, and a little above, is told. */
  const around = (id: string, change: number, levelDb: number, unit?: string) =>
    [-0.01, 0.01].map((more) => told(id, change + Math.sign(change) * more, levelDb, unit));
  const edge = [false, true];

  it("is noise and hum up and down with it, by as many decibels", () => {
    for (const id of ["hiss", "hum"]) {
      expect(around(id, 3 + floor(id), 3, "dBFS"), id).toStrictEqual(edge);
      expect(around(id, -3 - floor(id), -3, "dBFS"), id).toStrictEqual(edge);
      expect(around(id, floor(id), -3, "dBFS"), id).toStrictEqual(edge);
      expect(around(id, -floor(id), 3, "dBFS"), id).toStrictEqual(edge);
    }
  });

  it("is distortion with it, and headroom against it, by twice as many", () => {
    const [thd, room] = [floor("thd"), floor("headroom")];
    expect(around("thd", 6 + thd, 3)).toStrictEqual(edge);
    expect(around("thd", thd, -3)).toStrictEqual(edge);
    expect(around("headroom", -6 - room, 3)).toStrictEqual(edge);
    expect(around("headroom", 6 + room, -3)).toStrictEqual(edge);
    expect(around("headroom", -room, -3)).toStrictEqual(edge);
  });

  it("is nothing where the level moved by less than 0.15 dB", () => {
    const least = floor("hiss");
    expect(told("hiss", least + 0.01, 0.14, "dBFS")).toBe(true);
    expect(told("hiss", least + 0.01, 0.15, "dBFS")).toBe(false);
  });

  it("is told from the very floor on, where it is known well enough", () => {
    expect(told("hiss", floor("hiss"), 0, "dBFS")).toBe(true);
    const known = (uncertainty: number, change: number) =>
      drift(
        turn({ hiss: of(-90, "dBFS", uncertainty) }),
        turn({ hiss: of(-90 + change, "dBFS", uncertainty) }),
      ).length;
    // Both turns' 4 dB, and of the floor what siblings are granted: a quarter, at 95 % twice that.
    const real = (3.5 / 2) * Math.hypot(4, 4, floor("hiss") / 2);
    expect([known(4, real - 0.01), known(4, real + 0.01)]).toStrictEqual([0, 1]);
  });
});

describe("edges of what changed", () => {
  it("count: 0.15 dB of the level, and 3.5 standard deviations", () => {
    const held = { reading: "gain", first: 0, last: 0, unit: "dB" };
    const moved = (change: number, uncertainty: number) =>
      isLevelMoved({ ...held, change, uncertainty });
    expect([moved(0.15, 0), moved(-0.15, 0), moved(3.5, 2), moved(3.49, 2)]).toStrictEqual([
      true,
      true,
      true,
      false,
    ]);
  });

  const at = (x: readonly number[], y: readonly number[]): Measurement => {
    const response: Curve = { x, y, uncertainty: x.map(() => 0), xUnit: "Hz", yUnit: "dB" };
    return turn({}, { response });
  };
  const changed = (x: readonly number[], from: readonly number[], to: readonly number[]) =>
    drift(at(x, from), at(x, to)).map(({ atHz, change }) => [atHz, change]);

  it("are half a decibel of a response, from what it was to what it is", () => {
    expect(changed([20], [1], [1.5])).toStrictEqual([[20, 0.5]]);
    expect(changed([20], [0.5], [0.25])).toStrictEqual([]);
    expect(changed([20, 18_000], [0, 0], [-1, 1])).toStrictEqual([[20, -1]]);
  });

  it("read a response at the nearest point, within a tenth of the frequency or so", () => {
    // ln(22/20) = 0.095, ln(22.2/20) = 0.104
    expect(changed([22], [0], [1])).toStrictEqual([[20, 1]]);
    expect(changed([22.2], [0], [1])).toStrictEqual([]);
    expect(changed([19, 20.5, 21], [0, 0, 0], [1, 2, 3])).toStrictEqual([[20, 2]]);
    expect(changed([], [], [])).toStrictEqual([]);
  });

  it("are no change where a bound fell to what lies below it", () => {
    const bound = { ...of(-60), bound: "upper" } as const;
    expect(drift(turn({ thd: bound }), turn({ thd: of(-80) }))).toStrictEqual([]);
  });
});
