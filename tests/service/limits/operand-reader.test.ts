import { describe, expect, it } from "vitest";
import type { Curve } from "../../../src/measure/types.js";
import {
  createOperandReader,
  isValue,
  listPointsWithin,
} from "../../../src/service/limits/operand-reader.js";
import type { Operand } from "../../../src/service/limits/types.js";
import { path, reading, round } from "./rounds.js";

// Expected: worked by hand. Uncertainty of a middle: the linear law of propagation (JCGM 100, 5.1.2).

const own = (id: string, at?: Operand["at"]): Operand => ({
  whose: "own",
  id,
  ...(at === undefined ? {} : { at }),
});
const siblings = (id: string): Operand => ({ whose: "siblings", id });
const baseline = (id: string): Operand => ({ whose: "baseline", id });
const curve = (more: Partial<Curve> = {}): Curve => ({
  x: [100, 1000, 10_000],
  y: [0, 4, 10],
  uncertainty: [0.1, 0.2, 0.4],
  xUnit: "Hz",
  yUnit: "dB",
  ...more,
});

describe("a path's own figure", () => {
  const read = createOperandReader(round([]));

  it("says by what it is limited where something limits it", () => {
    const one = (more: object) =>
      read(own("thd"), path({ path: "1/mic", readings: { thd: { ...reading(-90), ...more } } }));
    expect(one({})).not.toHaveProperty("limitedBy");
    expect(one({})).not.toHaveProperty("bound");
    expect(one({ limitedBy: "interface" })).toMatchObject({ limitedBy: "interface" });
    expect(one({ limitedBy: "noise" })).toMatchObject({ limitedBy: "noise", bound: "upper" });
  });

  it("has its uncertainty without the part that all share", () => {
    const one = path({
      path: "1/mic",
      readings: { gain: { value: 3, unit: "dB", uncertainty: 0.5, common: 0.3 } },
    });
    expect(read(own("gain"), one)).toMatchObject({
      value: 3,
      unit: "dB",
      uncertainty: expect.closeTo(0.4, 12),
      common: 0.3,
    });
    const shared = path({
      path: "1/mic",
      readings: { gain: { value: 3, unit: "dB", uncertainty: 0.3, common: 0.5 } },
    });
    expect(read(own("gain"), shared)).toMatchObject({ uncertainty: 0 });
    expect(
      read(own("gain"), path({ path: "1/mic", readings: { gain: reading(3) } })),
    ).toMatchObject({
      uncertainty: 0.1,
      common: 0,
    });
  });

  it("is a bound on the side that its reading says, or that noise or the interface set", () => {
    const bound = (id: string, more: object) =>
      read(own(id), path({ path: "1/mic", readings: { [id]: { ...reading(3), ...more } } }));
    expect(bound("thd", { bound: "lower" })).toMatchObject({ bound: "lower" });
    expect(bound("thd", { limitedBy: "noise" })).toMatchObject({
      bound: "upper",
      limitedBy: "noise",
    });
    expect(bound("thd", { limitedBy: "interface" })).toMatchObject({ bound: "upper" });
    expect(bound("headroom", { limitedBy: "interface" })).toMatchObject({ bound: "lower" });
    expect(bound("gain", { limitedBy: "interface" })).not.toHaveProperty("bound");
    expect(bound("thd", {})).not.toHaveProperty("bound");
  });

  it("is missing with its reason, by the path's own fault or not", () => {
    const dead = path({ path: "1/mic", status: "missing", reason: "not recorded" });
    expect(read(own("gain"), dead)).toStrictEqual({
      missing: { code: "not-measured", status: "missing", reason: "not recorded" },
      where: "path",
    });
    const some = path({ path: "1/mic", absent: { thd: "the converter clipped" } });
    expect(read(own("thd"), some)).toStrictEqual({
      missing: {
        code: "not-made",
        because: { code: "as-recorded", reason: "the converter clipped" },
      },
      where: "path",
    });
    expect(read(own("gain"), some)).toMatchObject({ where: "path" });
    expect(read(own("response", { hz: 100 }), some)).toMatchObject({ where: "path" });
  });
});

describe("a point of a curve", () => {
  const one = path({ path: "1/mic", curves: { response: curve() } });
  const read = createOperandReader(round([one]));
  const at = (hz: number) => read(own("response", { hz }), one);

  it.each([
    [100, 0, 0.1],
    [1000, 4, 0.2],
    // half way in the logarithm
    [100 * Math.sqrt(10), 2, 0.2],
    [1000 * Math.sqrt(10), 7, 0.4],
    [10_000, 10, 0.4],
    // half of 1/24 octave beyond either end
    [100 / 2 ** (1 / 49), 0, 0.1],
    [10_000 * 2 ** (1 / 49), 10, 0.4],
  ])("at %d Hz", (hz, value, uncertainty) => {
    expect(at(hz)).toMatchObject({ value: expect.closeTo(value, 9), uncertainty, unit: "dB" });
  });

  it("is missing beyond the ends, which is not a fault of the path", () => {
    for (const hz of [100 / 2 ** (1 / 47), 10_000 * 2 ** (1 / 47)]) {
      expect(at(hz)).toMatchObject({
        where: "round",
        missing: { code: "short-curve", fromHz: 100, toHz: 10_000 },
      });
    }
  });

  it("is a bound where it lies at its floor", () => {
    const floored = (floor: readonly number[]) => {
      const noisy = path({ path: "1/mic", curves: { response: curve({ floor }) } });
      return read(own("response", { hz: 100 * Math.sqrt(10) }), noisy);
    };
    expect(floored([0, 4, 10])).toMatchObject({ bound: "upper", limitedBy: "noise" });
    expect(floored([-0.01, 4, 10])).toMatchObject({ bound: "upper" });
    // Between a bound and an estimate the truth lies below the line between them.
    expect(floored([-1, 4, 10])).toMatchObject({ bound: "upper" });
    expect(floored([-1, 3, 10])).not.toHaveProperty("bound");
    expect(floored([-40, -40, -40])).not.toHaveProperty("bound");
  });

  it("is a bound where it is one that stands above its floor", () => {
    // A line of the mains that chance lifted, or what is left where the interface covers the path.
    const line = curve({ floor: [-40, -40, -40], uncertainty: [0.1, 6, 0.4] });
    const noisy = path({ path: "1/mic", curves: { humLines: line } });
    expect(read(own("humLines", { hz: 1000 }), noisy)).toMatchObject({ bound: "upper" });
    expect(read(own("humLines", { hz: 100 }), noisy)).not.toHaveProperty("bound");
  });
});

describe("the siblings' figure", () => {
  const family = (...values: readonly number[]) =>
    values.map((value, k) =>
      path({ path: `${k + 1}/mic`, readings: { gain: reading(value, "dB", 0.1 * (k + 1)) } }),
    );

  it("is the median of the measured family", () => {
    const paths = family(5, 1, 3);
    const read = createOperandReader(round(paths));
    // the middle one is the third, with its uncertainty
    expect(read(siblings("gain"), paths[0])).toMatchObject({
      value: 3,
      uncertainty: expect.closeTo(0.3, 12),
    });
  });

  it("of an even number is the mean of the middle two, with half of both uncertainties", () => {
    const paths = family(5, 1, 3, 4);
    const found = createOperandReader(round(paths))(siblings("gain"), paths[0]);
    expect(found).toMatchObject({ value: 3.5, uncertainty: expect.closeTo(0.25, 12) });
  });

  it("needs three that have it, and leaves out what was not measured and other families", () => {
    const [a, b, c] = family(5, 1, 3);
    const gone = { ...c, status: "unusable" as const };
    const line = path({ path: "4/line", readings: { gain: reading(9) } });
    expect(isValue(createOperandReader(round([a, b, gone, line]))(siblings("gain"), a))).toBe(
      false,
    );
    expect(isValue(createOperandReader(round([a, b, c, line]))(siblings("gain"), a))).toBe(true);
  });

  it("is definite where noise set the middle, with the largest common part of the middle", () => {
    const paths = family(5, 1, 3, 4).map((one, k) => ({
      ...one,
      readings: {
        gain: { ...one.readings.gain, uncertainty: 9, common: k, limitedBy: "noise" as const },
      },
    }));
    const found = createOperandReader(round(paths))(siblings("gain"), paths[0]);
    expect(found).toMatchObject({ value: 3.5, uncertainty: 0, common: 3 });
    expect(found).not.toHaveProperty("bound");
  });
});

describe("the baseline's figure", () => {
  const now = path({ path: "1/mic", readings: { gain: reading(1) } });

  it("is that of the same path in the other round", () => {
    const then = path({ path: "1/mic", readings: { gain: reading(7) } });
    const read = createOperandReader(round([now]), round([then], "2030-03-14-01"));
    expect(read(baseline("gain"), now)).toMatchObject({ value: 7 });
    expect(read(own("gain"), now)).toMatchObject({ value: 1 });
  });

  it("stands as it is where noise set it, and has its doubt where not", () => {
    const read = (more: object) =>
      createOperandReader(
        round([now]),
        round(
          [path({ path: "1/mic", readings: { thd: { ...reading(-90), ...more } } })],
          "2030-03-14-01",
        ),
      )(baseline("thd"), now);
    expect(read({})).toMatchObject({ value: -90, uncertainty: 0.1 });
    expect(read({ limitedBy: "noise" })).toMatchObject({ value: -90, uncertainty: 0 });
    expect(read({ limitedBy: "noise" })).not.toHaveProperty("bound");
  });

  it("is missing without fault of the path", () => {
    const other = path({ path: "2/mic", readings: { gain: reading(7) } });
    const read = createOperandReader(round([now]), round([other], "2030-03-14-01"));
    expect(read(baseline("gain"), now)).toStrictEqual({
      missing: { code: "not-in-baseline" },
      where: "round",
    });
    const dead = path({ path: "1/mic", status: "missing" });
    const silent = createOperandReader(round([now]), round([dead], "2030-03-14-01"));
    expect(silent(baseline("gain"), now)).toStrictEqual({
      missing: { code: "of-baseline", lack: { code: "not-measured", status: "missing" } },
      where: "round",
    });
  });
});

describe("listPointsWithin", () => {
  const x = [20, 40, 80, 160, 320];
  const points = (fromHz: number, toHz: number) =>
    listPointsWithin({ fromHz, toHz }, curve({ x, y: x, uncertainty: x }));

  it("lists the points of a band, its ends included, with half of 1/24 octave to spare", () => {
    expect(points(40, 160)).toStrictEqual([40, 80, 160]);
    expect(points(40.5, 158)).toStrictEqual([40, 80, 160]);
    expect(points(41, 156)).toStrictEqual([80]);
    expect(points(20, 320)).toStrictEqual(x);
  });

  it("has none where the curve does not reach from end to end", () => {
    expect(points(19.8, 323)).toStrictEqual(x);
    expect(points(19.6, 320)).toMatchObject({ where: "round" });
    expect(points(20, 326)).toMatchObject({ where: "round" });
    expect(listPointsWithin({ fromHz: 20, toHz: 30 }, undefined)).toMatchObject({ where: "path" });
  });
});

describe("by hand, a figure", () => {
  const withCurve = (name: string, y: readonly number[], more: Partial<Curve> = {}) =>
    path({
      path: name,
      readings: { noise: reading(-90) },
      curves: { noise: curve({ y, ...more }) },
    });
  const along = { band: undefined } as never;

  it("of siblings is that of its own point, and of a reading or a curve of one name", () => {
    const paths = ["1/mic", "2/mic", "3/mic"].map((name) => withCurve(name, [1, 2, 3]));
    const read = createOperandReader(round(paths));
    const valueAt = (at: Operand["at"], hz?: number) => {
      const found = read({ whose: "siblings", id: "noise", ...(at && { at }) }, paths[0], hz);
      return isValue(found) ? found.value : found.missing.code;
    };
    expect([valueAt(undefined), valueAt(along)]).toStrictEqual([-90, "few-siblings"]);
    expect([100, 1000, 10_000].map((hz) => valueAt(along, hz))).toStrictEqual([1, 2, 3]);
    expect([100, 1000, 10_000].map((hz) => valueAt({ hz } as never))).toStrictEqual([1, 2, 3]);
    expect(valueAt(undefined)).toBe(-90);
  });

  it("of siblings leaves out those that were not measured, or lack it", () => {
    const of = (name: string, value: number) =>
      path({ path: name, readings: { gain: reading(value) } });
    const others = [
      path({ path: "4/mic", status: "missing", readings: { gain: reading(99) } }),
      path({ path: "5/mic" }),
    ];
    const three = [of("1/mic", 1), of("2/mic", 5), of("3/mic", 2)];
    const read = (paths: Parameters<typeof round>[0]) =>
      createOperandReader(round(paths))(siblings("gain"), three[0]);
    expect(read([...others, ...three])).toMatchObject({ value: 2 });
    expect(read([...others, ...three.slice(1)])).toMatchObject({
      missing: { code: "few-siblings", least: 3 },
      where: "round",
    });
  });

  it("of siblings is definite where one of the two in the middle is a bound", () => {
    const of = (name: string, value: number, more: object = {}) =>
      path({ path: name, readings: { thd: { ...reading(value, "dB", 0.3), ...more } } });
    const uncertainty = (low: object, high: object) => {
      const paths = [
        of("1/mic", -90),
        of("2/mic", -80, low),
        of("3/mic", -70, high),
        of("4/mic", -60),
      ];
      return createOperandReader(round(paths))(siblings("thd"), paths[0]);
    };
    const bound = { bound: "upper" };
    expect(uncertainty(bound, {})).toMatchObject({ value: -75, uncertainty: 0 });
    expect(uncertainty({}, bound)).toMatchObject({ value: -75, uncertainty: 0 });
    // √(0.3² + 0.3²)/2
    expect(uncertainty({}, {})).toMatchObject({
      uncertainty: expect.closeTo(0.3 / Math.SQRT2, 12),
    });
  });

  it("of a curve at its own point has that point's uncertainty", () => {
    const read = createOperandReader(round([]));
    const at = (hz: number) =>
      read(
        own("noise", { hz } as never),
        withCurve("1/mic", [0, 4, 10], { uncertainty: [3, 1, 2] }),
      );
    expect([100, 1000, 10_000].map((hz) => at(hz))).toMatchObject([
      { value: 0, uncertainty: 3 },
      { value: 4, uncertainty: 1 },
      { value: 10, uncertainty: 2 },
    ]);
    // Half way on a logarithmic scale, and no better known than either end.
    expect(at(Math.sqrt(1000 * 10_000))).toMatchObject({
      value: expect.closeTo(7, 9),
      uncertainty: 2,
    });
  });

  it("of a curve is missing without the curve, without a point, or beyond its ends", () => {
    const read = createOperandReader(round([]));
    const one = withCurve("1/mic", [0, 4, 10]);
    const none = { missing: { code: "no-curve", curve: "noise" }, where: "path" };
    expect(read(own("noise", along), one)).toStrictEqual(none);
    expect(read(own("noise", { hz: 1000 } as never), path({ path: "1/mic" }))).toStrictEqual(none);
    const short = {
      missing: { code: "short-curve", fromHz: 100, toHz: 10_000 },
      where: "round",
    };
    expect([50, 20_000].map((hz) => read(own("noise", { hz } as never), one))).toStrictEqual([
      short,
      short,
    ]);
    // Within half of 1/24 octave of the ends the end itself counts.
    expect([99, 10_100].map((hz) => read(own("noise", { hz } as never), one))).toMatchObject([
      { value: expect.closeTo(0, 1) },
      { value: expect.closeTo(10, 1) },
    ]);
  });

  it("of full scale is that of the path's own input of a calibrated interface", () => {
    const scale: Operand = { whose: "scale", id: "noise" };
    const input = (channel: number, value: number) => ({
      channel,
      fullScale: { value, unit: "dBu", uncertainty: 0.2 },
    });
    const made = {
      ...round([]),
      calibration: { inputs: [input(1, 18), input(2, 24)] },
    } as never;
    const on = (channel: number) => path({ path: "1/mic", take: { channel } as never });
    const calibrated = createOperandReader(made);
    const scaleOf = (value: number) => ({
      value,
      unit: "dBu",
      uncertainty: 0,
      common: 0,
      source: "calibration",
    });
    expect([1, 2].map((channel) => calibrated(scale, on(channel)))).toStrictEqual([
      scaleOf(18),
      scaleOf(24),
    ]);
    const unknown = { missing: { code: "input-not-calibrated" }, where: "path" };
    expect(calibrated(scale, on(3))).toStrictEqual(unknown);
    expect(calibrated(scale, path({ path: "1/mic" }))).toStrictEqual(unknown);
    expect(createOperandReader(round([]))(scale, on(1))).toStrictEqual(unknown);
  });

  it("has no points within a band where there is no curve, or none of it", () => {
    const none = { missing: { code: "no-curve" }, where: "path" };
    const band = { fromHz: 100, toHz: 10_000 };
    expect(listPointsWithin(band, undefined)).toStrictEqual(none);
    expect(listPointsWithin(band, curve({ x: [], y: [], uncertainty: [] }))).toStrictEqual(none);
    expect(listPointsWithin(band, curve())).toStrictEqual([100, 1000, 10_000]);
    expect(listPointsWithin({ fromHz: 500, toHz: 2000 }, curve())).toStrictEqual([1000]);
  });
});
