import { describe, expect, it } from "vitest";
import type { Measurement } from "../../../src/measure/types.js";
import {
  findPooledShares,
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
    expect(subtractPower(-99.5, share(-70, -100, 0.5), 2)).toStrictEqual({
      db: -99.5,
      uncertaintyDb: 0,
    });
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
    expect(left("response", [-4.5, -6, -4], [quiet, quiet, undefined])).toStrictEqual([1.5, 0, -4]);
  });

  it("is not taken off a response that lacks it", () => {
    expect(left("response", [1.2, 0.9, 1], [quiet, quiet, quiet])).toStrictEqual([1.2, 0.9, 1]);
  });

  it("is taken off a spectrum that it makes quieter", () => {
    const quieter = share(-110, -100, 0.1);
    expect(left("noise", [-108, -110, -95], [quieter, quieter, undefined])).toStrictEqual([
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
    expect([turned(-1, -1), turned(1, -1), turned(1, 1)]).toStrictEqual([1, -1, 1]);
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

describe("a share in readings", () => {
  const of = (id: string, value: number): Measurement => ({
    readings: { [id]: { value, unit: "dB", uncertainty: 0.1 } },
    absent: {},
    curves: {},
  });
  const side = (id: string, values: readonly number[]) => values.map((value) => of(id, value));
  const find = (id: string, inside: readonly number[], outside: readonly number[]) =>
    findShares({ inside: side(id, inside), outside: side(id, outside) }).readings[id];

  it("is the medians of two paths or more on either side", () => {
    expect(find("gain", [-6, -6], [0, 0])).toStrictEqual({ inside: -6, outside: 0, scatter: 0 });
    expect(find("gain", [-6], [0, 0])).toBeUndefined();
    expect(find("gain", [-6, -6], [0])).toBeUndefined();
    expect(find("unheard-of", [-6, -6], [0, 0])).toBeUndefined();
  });

  it("counts from three standard errors of both medians on", () => {
    // A gain is granted a quarter of its floor of 0.7 dB; a median's error is √(π/2) times a mean's.
    const error = Math.sqrt(Math.PI / 2) * Math.hypot(0.175 / Math.sqrt(4), 0.175 / Math.sqrt(9));
    const at = (db: number) => find("gain", Array(4).fill(db), Array(9).fill(0));
    expect(at(3.001 * error)).toBeDefined();
    expect(at(-3.001 * error)).toBeDefined();
    expect(at(2.999 * error)).toBeUndefined();
  });

  it("counts against the scatter of either side where that is larger", () => {
    // Qn of 0, s, 2s is 2.2219 · 0.994 · s (Croux and Rousseeuw, 1992: the factor for three).
    const qn = 2.2219 * 0.994;
    const error = Math.sqrt(Math.PI / 2) * Math.hypot(qn / Math.sqrt(3), 0.175 / Math.sqrt(3));
    const scattered = (db: number) => [db - 1, db, db + 1];
    const still = [0, 0, 0];
    for (const share of [0.999, 1.001]) {
      const db = 3 * error * share;
      const inside = find("gain", scattered(db), still);
      const outside = find("gain", still, scattered(db));
      expect(inside === undefined, `${share}`).toBe(share < 1);
      expect(outside === undefined, `${share}`).toBe(share < 1);
      if (share < 1) continue;
      expect(inside?.scatter).toBeCloseTo(qn, 3);
      expect(outside?.scatter).toBe(0);
    }
  });

  it("scatters by no less than what is known of its kind beforehand", () => {
    // Of noise a twentieth, of distortion a tenth, 2 dB at most; what is no power has no such figure.
    const scatter = (id: string, db: number) =>
      find(id, Array(3).fill(-90 + db), Array(3).fill(-90))?.scatter;
    expect(scatter("hiss", 20)).toBeCloseTo(1, 9);
    expect(scatter("thd", 15)).toBeCloseTo(1.5, 9);
    expect(scatter("thd", 40)).toBe(2);
    expect(scatter("gain", 40)).toBe(0);
  });
});

describe("the shares of an output", () => {
  const of = (id: string, value: number): Measurement => ({
    readings: { [id]: { value, unit: "dB", uncertainty: 0.1 } },
    absent: {},
    curves: {},
  });
  const family = (id: string, inside: readonly number[], outside: readonly number[]) => ({
    inside: inside.map((value) => of(id, value)),
    outside: outside.map((value) => of(id, value)),
  });

  it("in a level are found on all inputs together, about each input's own", () => {
    // −4 on three of four, on inputs that come back at 0 and at 40: one lost 10 of its own.
    const [line, mic] = findPooledShares([
      family("gain", [-4, -10], [0, 0, 0]),
      family("gain", [36, 36], [40, 40, 40]),
    ]);
    expect(line.readings.gain).toMatchObject({ inside: -4, outside: 0 });
    expect(mic.readings.gain).toMatchObject({ inside: 36, outside: 40 });
    expect(line.readings.gain.scatter).toBe(mic.readings.gain.scatter);
  });

  it("in a level are none for an input of which fewer than two paths went elsewhere", () => {
    const [line, mic] = findPooledShares([
      family("gain", [-4, -4], [0, 0, 0]),
      family("gain", [36, 36], [40]),
    ]);
    expect(line.readings.gain).toMatchObject({ inside: -4, outside: 0 });
    expect(mic.readings.gain).toBeUndefined();
    expect(findPooledShares([family("gain", [0, 0], [0, 0, 0])])[0].readings).toStrictEqual({});
  });

  it("in a level take no notice of a share that one input alone would show", () => {
    const inputs = [
      family("gain", [-4, -4], [0, 0, 0]),
      family("gain", [0, 0, 0], [0, 0, 0]),
      family("gain", [0, 0, 0], [0, 0, 0]),
    ];
    expect(findPooledShares(inputs).map(({ readings }) => readings)).toStrictEqual([{}, {}, {}]);
  });

  it("in polarity are a turn where more are turned than not", () => {
    const turned = (line: readonly number[], mic: readonly number[], outside = [-1, -1]) =>
      findPooledShares([family("polarity", line, [1, 1]), family("polarity", mic, outside)]).map(
        ({ readings }) => readings.polarity,
      );
    const all = [
      { inside: -1, outside: 1, scatter: 0 },
      { inside: 1, outside: -1, scatter: 0 },
    ];
    expect(turned([-1, -1], [1, 1])).toStrictEqual(all);
    expect(turned([-1, -1], [-1])).toStrictEqual(all);
    expect(turned([-1, -1], [-1, -1])).toStrictEqual([undefined, undefined]);
    expect(turned([1, 1], [-1])).toStrictEqual([undefined, undefined]);
    // Of the other input nobody knows which way up it comes back without this output.
    expect(turned([-1, -1], [1], [-1])).toStrictEqual([all[0], undefined]);
  });

  it("in a power are each input's own", () => {
    const inputs = [
      family("hiss", [-80, -80], [-100, -100]),
      family("hiss", [-70, -70], [-100, -100]),
    ];
    expect(findPooledShares(inputs)).toStrictEqual(inputs.map(findShares));
  });

  it("in a response are found point by point on all inputs, in a spectrum input by input", () => {
    const x = [100, 1000, 10_000];
    const bent = (name: string, y: readonly number[]): Measurement => {
      const curve = { x, y, uncertainty: x.map(() => 0.1), xUnit: "Hz", yUnit: "dB" } as const;
      return { readings: {}, absent: {}, curves: { [name]: curve } };
    };
    const inputs = (name: string) => [
      {
        inside: [bent(name, [0, 0, -8]), bent(name, [0, 0, -30])],
        outside: [0, 1, 2].map(() => bent(name, [0, 0, 0])),
      },
      {
        inside: [bent(name, [5, 0, -3]), bent(name, [5, 0, -3])],
        outside: [0, 1, 2].map(() => bent(name, [5, 0, 5])),
      },
    ];
    const pooled = findPooledShares(inputs("response"));
    expect(pooled.map(({ curves }) => curves.response)).toMatchObject([
      [undefined, undefined, { inside: -8, outside: 0 }],
      [undefined, undefined, { inside: -3, outside: 5 }],
    ]);
    expect(pooled.every(({ curves }) => curves.response.length === x.length)).toBe(true);
    expect(findPooledShares(inputs("noise"))).toStrictEqual(inputs("noise").map(findShares));
  });
});

describe("what is left of a power", () => {
  // By units of power of the siblings outside: P − (P_in − P_out), with 10·lg 2 = 3.01 dB for two.
  const db = (power: number) => 10 * Math.log10(power);
  const of = (power: number, inside: number, scatter: number, leastDb: number, clearBy?: number) =>
    subtractPower(db(power) - 50, share(db(inside) - 50, -50, scatter), leastDb, clearBy);
  /** The share's scatter of so many decibels as power: (P_in − P_out)·s·ln(10)/10. */
  const doubt = (inside: number, scatter: number) => ((inside - 1) * scatter * Math.LN10) / 10;

  it("is its own where it rises by what matters, clear of the share's scatter", () => {
    const left = of(9, 3, 1, 3);
    expect(left?.db).toBeCloseTo(db(7) - 50, 9);
    expect(left?.uncertaintyDb).toBeCloseTo((20 / Math.LN10 / 7) * doubt(3, 1), 9);
  });

  it("is as far as it can be known where nothing hides a rise that would matter", () => {
    // 1.5 units are no rise of 3 dB; three scatters of 0.3 dB and a share of one unit hide 0.2.
    expect(of(2.5, 2, 0.1, 3)?.db).toBeCloseTo(db(1.5) - 50, 9);
    expect(of(2.5, 2, 0.1, 3)?.uncertaintyDb).toBeCloseTo(
      (20 / Math.LN10 / 1.5) * doubt(2, 0.3),
      9,
    );
    // No less than half of what the siblings have: P − share = 0.3.
    expect(of(1.3, 2, 0.1, 3)?.db).toBeCloseTo(db(0.5) - 50, 9);
    expect(of(1.3, 2, 0.1, 3)?.uncertaintyDb).toBeCloseTo(
      (20 / Math.LN10 / 0.5) * doubt(2, 0.3),
      9,
    );
  });

  it("is unknown where three scatters of the share hide what would matter", () => {
    // A rise of 3 dB is 0.995 of a unit.
    const mattering = 10 ** 0.3 - 1;
    const scatter = mattering / (3 * doubt(2, 1));
    expect(of(2.5, 2, 1.01 * scatter, 3)).toBeUndefined();
    expect(of(2.5, 2, 0.99 * scatter, 3)?.db).toBeCloseTo(db(1.5) - 50, 9);
    // A point of a curve asks for four.
    expect(of(2.5, 2, 0.99 * scatter, 3, 4)).toBeUndefined();
    // Less than a decibel never matters: 0.26 of a unit, of which 0.9 dB hide 0.62.
    expect(of(2.5, 2, 0.9, 0)).toBeUndefined();
    expect(of(3, 2, 0.3, 0)?.db).toBeCloseTo(db(2) - 50, 9);
  });

  it("is all where less than a quarter of the share is there", () => {
    // Of a share of 20 units five: below six in all it is lacking.
    expect(of(5.9, 21, 0.5, 2)).toStrictEqual({ db: db(5.9) - 50, uncertaintyDb: 0 });
    expect(of(6.1, 21, 0.01, 2)).not.toMatchObject({ uncertaintyDb: 0 });
  });
});

describe("what hides or lacks a share", () => {
  const of = (id: string, value: number): Measurement => ({
    readings: { [id]: { value, unit: "dB", uncertainty: 0.1 } },
    absent: {},
    curves: {},
  });
  const left = (id: string, value: number, own: ReturnType<typeof share>) =>
    subtractShares(of(id, value), { readings: { [id]: own }, curves: {} });

  it("is a level within a quarter of the way from the usual", () => {
    // The share is −8: from −2 on a path has it, as far as it has any.
    const own = share(-8, 0, 0);
    expect(left("gain", -1.9, own).readings.gain).toStrictEqual(of("gain", -1.9).readings.gain);
    expect(left("gain", 1.9, own).readings.gain.value).toBe(1.9);
    expect(left("gain", -2.1, own).readings.gain.value).toBeCloseTo(5.9, 12);
    expect(left("gain", 2.1, own).readings.gain.value).toBeCloseTo(10.1, 12);
    // A share below a level's floor of 0.7 dB is taken off whatever it is.
    expect(left("gain", 0, share(-0.69, 0, 0)).readings.gain.value).toBeCloseTo(0.69, 12);
    expect(left("gain", 0, share(-0.71, 0, 0)).readings.gain.value).toBe(0);
  });

  it("leaves a reading out with its reason", () => {
    const { readings, absent } = left("hiss", -70, share(-70, -100, 0.5));
    expect(readings).toStrictEqual({});
    expect(absent).toStrictEqual({ hiss: { code: "hidden-by-share" } });
    expect(left("thd", -70, share(-70, -100, 0.5)).absent).toStrictEqual({
      thd: { code: "hidden-by-share" },
    });
    // Of what a path was not measured for nothing is said.
    const none = { readings: { hiss: share(-70, -100, 0.5) }, curves: {} };
    expect(subtractShares(of("gain", 0), none)).toStrictEqual(of("gain", 0));
  });

  it("keeps a path's early clipping by its floor of a decibel, or three scatters", () => {
    const at = (value: number, scatter: number) =>
      left("headroom", value, share(12, 20, scatter)).readings.headroom?.value;
    expect([at(11.01, 0), at(10.9, 0)]).toStrictEqual([undefined, 10.9]);
    expect([at(9.1, 1), at(8.9, 1)]).toStrictEqual([undefined, 8.9]);
  });

  it("is a response that lies within a quarter of it at all points together", () => {
    const x = [100, 1000, 10_000];
    const curve = (y: readonly number[]) =>
      ({ x, y, uncertainty: x.map(() => 0.1), xUnit: "Hz", yUnit: "dB" }) as const;
    const shifted = (
      y: readonly number[],
      own: readonly (ReturnType<typeof share> | undefined)[],
    ) =>
      subtractShares(
        { readings: {}, absent: {}, curves: { response: curve(y) } },
        { readings: {}, curves: { response: own } },
      ).curves.response.y;
    const two = [share(-3, 1, 0), share(3, -1, 0), undefined];
    // Eight decibels in all, of which two may be there.
    expect(shifted([0, -1.1, 7], two)).toStrictEqual([0, -1.1, 7].map((one) => one));
    expect(shifted([0, 0.1, 7], two)).toStrictEqual([4, -3.9, 7]);
    // A shift of a decibel a point may be scatter: it is taken off.
    expect(shifted([0, 0, 0], [share(-1, 0, 0), share(-1, 0, 0), undefined])).toStrictEqual([
      1, 1, 0,
    ]);
    expect(shifted([0, 0, 0], [share(-1.1, 0, 0), share(-1.1, 0, 0), undefined])).toStrictEqual([
      0, 0, 0,
    ]);
    expect(shifted([5, 5, 5], [undefined, undefined, undefined])).toStrictEqual([5, 5, 5]);
    // A curve that ends earlier lacks the points behind its end.
    expect(shifted([0], [share(-4, 0, 0), share(-4, 0, 0), undefined])).toStrictEqual([0]);
  });

  it("is taken off a spectrum by power, or laid on its floor", () => {
    const x = [100, 1000, 10_000];
    const y = [-60, -90, -100];
    const noise = { x, y, uncertainty: x.map(() => 0.1), xUnit: "Hz", yUnit: "dB" } as const;
    const own = share(-90, -100, 1);
    const all = [own, own, undefined];
    const cleared = (floor?: readonly number[]) =>
      subtractShares(
        { readings: {}, absent: {}, curves: { noise: { ...noise, ...(floor ? { floor } : {}) } } },
        { readings: {}, curves: { noise: [...all, own] } },
      ).curves.noise;
    // 30 dB above the share hardly anything is taken off: 10·lg(10⁴ − 9) = 39.996.
    expect(cleared().y[0]).toBeCloseTo(-100 + 10 * Math.log10(1e4 - 9), 9);
    expect(cleared().y.slice(1)).toStrictEqual([-100, -100]);
    expect(cleared().floor).toStrictEqual([-400, -100, -400]);
    expect(cleared([-120, -120, -120]).floor).toStrictEqual([-120, -100, -120]);
    expect(cleared().y).toHaveLength(3);
  });
});
