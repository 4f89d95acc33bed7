import { describe, expect, it } from "vitest";
import type { Measurement } from "../../../src/measure/types.js";
import {
  findShares,
  subtractPower,
  subtractShares,
} from "../../../src/rank/shared/subtract-share.js";
import { addPowers } from "../../helpers/shared-desk.js";

// P = P_own + P_share, so what is left is P_own; its uncertainty follows from that of the share by
// JCGM 100, 5.1.2: δ(10·lg P_own) = P_share/P_own · δ(10·lg P_share).

const share = (inside: number, outside: number, scatter: number) => ({ inside, outside, scatter });

describe("subtractPower", () => {
  it("gives back what a path adds to the share", () => {
    // the others: −100 of their own and −90 shared
    const all = share(addPowers(-100, -90), -100, 0.3);
    const left = subtractPower(addPowers(-85, -90), all, 2);
    expect(left?.db).toBeCloseTo(-85, 1);
    // 10^((−90+85)/10) · 0.3 dB · 2
    expect(left?.uncertaintyDb).toBeCloseTo(2 * 0.3 * 10 ** -0.5, 1);
  });

  it("says nothing where the share's scatter hides a rise that would matter", () => {
    const all = share(-70, -100, 0.5);
    expect(subtractPower(-70, all, 2)).toBeUndefined();
    expect(subtractPower(-69.6, all, 2)).toBeUndefined();
  });

  it("takes a path that lacks the share as its siblings outside", () => {
    expect(subtractPower(-99.5, share(-70, -100, 0.5), 2)).toEqual({ db: -99.5, uncertaintyDb: 0 });
  });
});

describe("the share in a spectrum", () => {
  const around = [1.6, -1.2, 0.3, -1.7, 1.1];
  /** Five points that scatter by 1.5 dB, in the middle of which the paths inside happen to agree. */
  const spectrum = (level: number, k: number, middle: number): Measurement => {
    const x = [40, 50, 63, 80, 100];
    const y = x.map((_, i) => (i === 2 ? level + middle : level + around[(k + 2 * i) % 5]));
    const flat = x.map(() => 0);
    const noise = { x, y, uncertainty: flat, xUnit: "Hz", yUnit: "dB" } as const;
    return { readings: {}, absent: {}, curves: { noise } };
  };

  it("is known no better than the spectrum scatters around, however alike a few are", () => {
    const inside = [0, 0.05, -0.05, 0.1, 2.2].map((off, k) => spectrum(-112, k, off));
    const outside = [1.2, -1, 0.3, -0.6, 0.8].map((off, k) => spectrum(-134, k + 5, off));
    const { y, floor } = subtractShares(inside[4], findShares({ inside, outside })).curves.noise;
    // 2.2 dB above the middle of 22 dB are chance where all around scatters by 1.5 dB: hidden.
    expect(y[2]).toBeLessThan(-132);
    expect(floor?.[2]).toBe(y[2]);
  });
});

describe("subtractShares", () => {
  const distorting = (value: number): Measurement => ({
    readings: { thd: { value, unit: "dB", uncertainty: 0.1 } },
    absent: {},
    curves: {},
  });

  it("calls nothing a path's own that a batch of parts scatters by, however alike a few are", () => {
    const inside = [-74, -74.1, -73.9, -74, -74.05, -72].map(distorting);
    const outside = [-90, -90.2, -89.8, -90.1, -89.9, -90].map(distorting);
    const shares = findShares({ inside, outside });
    // 16 dB of a shared part scatter by 1.6 dB: 2 dB above the middle are no fault of the path's.
    expect(subtractShares(inside[5], shares).readings.thd).toBeUndefined();
    // 20 dB above it are: the share of 16 dB is lost in them.
    expect(subtractShares(distorting(-54), shares).readings.thd.value).toBeCloseTo(-54, 0);
  });

  it("leaves a path its own early clipping, and what clips with the others to these", () => {
    const clipping = (value: number): Measurement => ({
      readings: { headroom: { value, unit: "dB", uncertainty: 0.1 } },
      absent: {},
      curves: {},
    });
    const outside = [20, 20.1, 19.9, 20, 20.05].map(clipping);
    const shares = findShares({ inside: [12, 12.1, 11.9, 12, 12.05].map(clipping), outside });
    const left = (value: number) => subtractShares(clipping(value), shares).readings.headroom;
    // A stage of its own that gives way 6 dB before what the others share is heard alone.
    expect(left(6)?.value).toBe(6);
    // With the others nobody can tell what it would do by itself.
    expect(left(12)).toBeUndefined();
    expect(left(11.9)).toBeUndefined();
  });
});

describe("what a shared part does to levels", () => {
  // Decibels of one part and of the rest add, so that a part that costs inside − outside is taken off
  // by that difference; and a quieter part is no power to be subtracted.
  const x = [100, 1000, 10_000];
  const curve = (y: readonly number[]) =>
    ({ x, y, uncertainty: x.map(() => 0.1), xUnit: "Hz", yUnit: "dB" }) as const;
  const left = (
    name: "response" | "noise",
    y: readonly number[],
    shares: readonly (ReturnType<typeof share> | undefined)[],
  ) =>
    subtractShares(
      { readings: {}, absent: {}, curves: { [name]: curve(y) } },
      { readings: {}, curves: { [name]: shares } },
    ).curves[name].y;
  const quiet = share(-5, 1, 0.1);

  it("is taken off a response at each point that has a share", () => {
    expect(left("response", [-4.5, -6, -4], [quiet, quiet, undefined])).toEqual([1.5, 0, -4]);
  });

  it("is not taken off a response that lacks it", () => {
    expect(left("response", [1.2, 0.9, 1], [quiet, quiet, quiet])).toEqual([1.2, 0.9, 1]);
  });

  it("is taken off a spectrum that it makes quieter", () => {
    const quieter = share(-110, -100, 0.1);
    expect(left("noise", [-108, -110, -95], [quieter, quieter, undefined])).toEqual([
      -98, -100, -95,
    ]);
  });

  it.each([
    ["gain", share(-5, 1, 0.3), -4.5, 1.5],
    ["hiss", share(-110, -100, 0.3), -108, -98],
    ["headroom", share(22, 20, 0.3), 21, 19],
  ] as const)("is taken off the reading %s", (id, own, value, expected) => {
    const { readings } = subtractShares(
      { readings: { [id]: { value, unit: "dB", uncertainty: 0.4 } }, absent: {}, curves: {} },
      { readings: { [id]: own }, curves: {} },
    );
    expect(readings[id].value).toBeCloseTo(expected, 12);
    // Independent standard deviations add as squares (JCGM 100, 5.1.2).
    if (id !== "headroom") expect(readings[id].uncertainty).toBeCloseTo(0.5, 12);
  });

  it("leaves a polarity that is turned by it the other way round, and turns that back", () => {
    const turned = (value: number, inside: number) =>
      subtractShares(
        { readings: { polarity: { value, unit: "", uncertainty: 0 } }, absent: {}, curves: {} },
        { readings: { polarity: share(inside, 1, 0) }, curves: {} },
      ).readings.polarity.value;
    expect([turned(-1, -1), turned(1, -1), turned(1, 1)]).toEqual([1, -1, 1]);
  });
});

describe("the scatter of a share at a point of a curve", () => {
  it("is that of the points around: three to either side", () => {
    // Six points at which the paths lie ten decibels apart, six at which they agree.
    const x = Array.from({ length: 12 }, (_, i) => 100 * (i + 1));
    const path = (level: number, k: number): Measurement => {
      const y = x.map((_, i) => level + (i < 6 ? 10 * (k - 2) : 0.01 * (k - 2)));
      const noise = { x, y, uncertainty: x.map(() => 0), xUnit: "Hz", yUnit: "dB" } as const;
      return { readings: {}, absent: {}, curves: { noise } };
    };
    const side = (level: number) => [0, 1, 2, 3, 4].map((k) => path(level, k));
    const points = findShares({ inside: side(0), outside: side(-200) }).curves.noise;
    const scatters = points.map((point) => point?.scatter ?? Number.NaN);
    for (const scatter of scatters.slice(0, 5)) expect(scatter).toBeGreaterThan(5);
    for (const scatter of scatters.slice(9)) expect(scatter).toBeLessThan(0.1);
  });
});
