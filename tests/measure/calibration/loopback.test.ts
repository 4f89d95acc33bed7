import { describe, expect, it } from "vitest";
import {
  buildInputCalibration,
  findDisagreement,
  findInterfaceFault,
} from "../../../src/measure/calibration/loopback.js";
import type { Measurement, Reading } from "../../../src/measure/types.js";
import { highPass1, magnitudeDb } from "../../helpers/analogue.js";
import { measurement, reading, response } from "../../helpers/families.js";

function plausible(change: Record<string, Reading> = {}, curve = response(() => 0)): Measurement {
  return measurement(
    {
      level: reading(-18.2, "dBFS", 0.001),
      polarity: { value: 1, unit: "", uncertainty: 0 },
      noise: reading(-103, "dBFS", 0.1),
      thd: reading(-104),
      thdHot: reading(-98),
      ...change,
    },
    { response: curve },
  );
}

describe("a loopback", () => {
  it("keeps that its word length set a figure, in one of several returns too", () => {
    const set = plausible({ noise: { ...reading(-93, "dBFS", 0.1), limitedBy: "interface" } });
    const known = { dbu: 4, uncertaintyDb: 0.1 };
    const { readings } = buildInputCalibration(
      0,
      [plausible({ noise: reading(-93, "dBFS", 0.1) }), set],
      known,
    );
    expect(readings.noise.limitedBy).toBe("interface");
    expect(readings.level).not.toHaveProperty("limitedBy");
  });

  it("of a plausible interface passes", () => {
    expect(findInterfaceFault(plausible())).toBeUndefined();
  });

  it("of an old or simple interface passes too", () => {
    // −2 dB at the ends of the band, 16 bits of noise, 0.1 % of distortion
    const poor = plausible(
      { noise: reading(-88, "dBFS"), thd: reading(-60) },
      response((hz) => magnitudeDb(highPass1(15)(hz))),
    );
    expect(findInterfaceFault(poor)).toBeUndefined();
  });

  it.each([
    [
      "a level that leaves no room",
      plausible({ level: reading(-3, "dBFS") }),
      { code: "level-out", dbfs: -3, is: "high" },
    ],
    [
      "a level near the noise",
      plausible({ level: reading(-60, "dBFS") }),
      { code: "level-out", dbfs: -60, is: "low" },
    ],
    [
      "the noise of a desk turned up",
      plausible({ noise: reading(-60, "dBFS") }),
      { code: "noisy", dbfs: -60, mostDbfs: -70 },
    ],
    [
      "a file without noise",
      plausible({ noise: reading(-141, "dBFS") }),
      { code: "too-quiet", dbfs: -141 },
    ],
    ["distortion", plausible({ thd: reading(-30) }), { code: "distorts", at: "nominal", db: -30 }],
    [
      "clipping before full scale",
      plausible({ thdHot: reading(-20) }),
      { code: "distorts", at: "hot", db: -20 },
    ],
    [
      "a response 20 dB down at 100 Hz",
      plausible(
        {},
        response((hz) => magnitudeDb(highPass1(1000)(hz)) + 0),
      ),
      {
        code: "odd-response",
        hz: 20,
        // first order: 10·lg(1/(1 + 50²)) − 10·lg(½)
        db: expect.closeTo(-30.97, 1),
        mostDb: 3,
      },
    ],
  ])("is refused for %s", (_, m, fault) => {
    expect(findInterfaceFault(m)).toEqual(fault);
  });

  it.each(["level", "noise"])("is refused without its %s", (id) => {
    const { [id]: _, ...readings } = plausible().readings;
    const absent = { [id]: { code: "converter-clipped" } } as const;
    const m: Measurement = { ...plausible(), readings: { ...readings }, absent };
    expect(findInterfaceFault(m)).toEqual({
      code: "not-read",
      what: id,
      because: { code: "converter-clipped" },
    });
  });

  it("is refused without its response", () => {
    expect(findInterfaceFault({ ...plausible(), curves: {} })).toEqual({
      code: "not-read",
      what: "response",
    });
  });
});

describe("several loopback returns", () => {
  it("agree within a tenth of a decibel", () => {
    const a = plausible({ level: reading(-18.2, "dBFS") });
    const b = plausible({ level: reading(-18.25, "dBFS") });
    expect(findDisagreement([a, b])).toBeUndefined();
    expect(findDisagreement([a])).toBeUndefined();
  });

  it.each([
    [
      plausible({ level: reading(-18.5, "dBFS") }),
      { code: "levels-differ", db: expect.closeTo(0.3, 9) },
    ],
    [plausible({ noise: reading(-90, "dBFS") }), { code: "noise-differs", db: 13 }],
    [
      plausible({ polarity: { value: -1, unit: "", uncertainty: 0 } }),
      { code: "polarities-differ" },
    ],
    [
      plausible(
        {},
        response((hz) => (hz > 10_000 ? -0.5 : 0)),
      ),
      { code: "responses-differ", db: 0.5, hz: expect.any(Number) },
    ],
  ])("disagree", (other, differ) => {
    expect(findDisagreement([plausible(), other])).toEqual(differ);
  });

  const known = { dbu: 4, uncertaintyDb: 0.1 };

  it("give the mean, and full scale from it", () => {
    const two = [-18, -18.001].map((db) => plausible({ level: reading(db, "dBFS", 0.002) }));
    const input = buildInputCalibration(1, two, known);
    expect(input).toMatchObject({ channel: 1, returns: 2 });
    expect(input.readings.level.value).toBeCloseTo(-18.0005, 6);
    expect(input.readings.level.uncertainty).toBeCloseTo(0.002 / Math.SQRT2, 6);
    expect(input.fullScale.value).toBeCloseTo(22.0005, 6);
    expect(input.fullScale.uncertainty).toBeCloseTo(0.1, 4);
  });

  it("widen the uncertainty by the Birge ratio where they scatter more than it allows", () => {
    // Birge 1932: each lies 0.02 dB from the mean, 20 of its own deviations of 0.001 dB, so that
    // χ²/(n − 1) = 800; its root times the mean's own 0.002/√2 dB is 0.04 dB
    const two = [-18, -18.04].map((db) => plausible({ level: reading(db, "dBFS", 0.002) }));
    expect(buildInputCalibration(0, two, known).readings.level.uncertainty).toBeCloseTo(0.04, 6);
  });

  it("average figures that the word length set: they are no bounds", () => {
    // the mean of −93 and −94 dBFS
    const set = (value: number) => ({ ...reading(value, "dBFS"), limitedBy: "interface" as const });
    const two = [-93, -94].map((value) => plausible({ hiss: set(value) }));
    const { hiss } = buildInputCalibration(0, two, known).readings;
    expect(hiss.value).toBeCloseTo(-93.5, 9);
    expect(hiss).not.toHaveProperty("bound");
  });

  it("keep the highest of bounds", () => {
    const bound: Reading = { ...reading(-120), limitedBy: "noise" };
    const input = buildInputCalibration(
      0,
      [plausible({ thd: bound }), plausible({ thd: { ...bound, value: -118 } })],
      known,
    );
    expect(input.readings.thd).toMatchObject({ value: -118, limitedBy: "noise" });
  });
});

describe("the limits of a loopback", () => {
  const at = (change: Record<string, Reading>) => findInterfaceFault(plausible(change))?.code;
  const dbfs = (value: number) => reading(value, "dBFS");

  it.each([
    ["level", [-48.01, -48, -5, -4.99], ["level-out", undefined, undefined, "level-out"]],
    ["noise", [-134.01, -134, -70, -69.99], ["too-quiet", undefined, undefined, "noisy"]],
    ["thd", [-40, -39.99], [undefined, "distorts"]],
    ["thdHot", [-40, -39.99], [undefined, "distorts"]],
  ] as const)("of %s lie where they are said to", (id, values, codes) => {
    expect(values.map((value) => at({ [id]: dbfs(value) }))).toEqual(codes);
  });

  it("take no distortion that noise or the word length set for one", () => {
    for (const limitedBy of ["noise", "interface"] as const) {
      expect(at({ thd: { ...reading(-30), limitedBy } })).toBeUndefined();
    }
    const { thd: _, thdHot: __, ...others } = plausible().readings;
    expect(findInterfaceFault({ ...plausible(), readings: others })).toBeUndefined();
  });

  const shape = (points: readonly (readonly [number, number])[]) =>
    findInterfaceFault(
      plausible(
        {},
        {
          x: points.map(([hz]) => hz),
          y: points.map(([, db]) => db),
          uncertainty: points.map(() => 0.01),
          xUnit: "Hz",
          yUnit: "dB",
        },
      ),
    );

  it("let a response vary by 3 dB, and fall by 12 dB above 20 kHz", () => {
    expect(shape([[100, -3]])).toBeUndefined();
    expect(shape([[100, 3]])).toBeUndefined();
    expect(shape([[20_000, -3]])).toBeUndefined();
    expect(shape([[20_001, -12]])).toBeUndefined();
    const odd = (hz: number, db: number) => ({ code: "odd-response", hz, db, mostDb: 3 });
    expect(shape([[100, -3.01]])).toEqual(odd(100, -3.01));
    expect(shape([[100, 3.01]])).toEqual(odd(100, 3.01));
    expect(shape([[20_000, -3.01]])).toEqual(odd(20_000, -3.01));
    expect(shape([[20_001, -12.01]])).toEqual(odd(20_001, -12.01));
    // It may not rise there.
    expect(shape([[22_000, 3.01]])).toEqual(odd(22_000, 3.01));
  });

  it("name the place that is furthest beyond its limit, the first of equals", () => {
    // 1.5 dB, 4 dB, 2 dB and 4 dB beyond; above 20 kHz −15 dB is 3 dB beyond.
    const points = [
      [50, -4.5],
      [60, 7],
      [70, 5],
      [80, -7],
      [21_000, -15],
    ] as const;
    expect(shape(points)).toMatchObject({ hz: 60, db: 7 });
  });
});

describe("the means of several returns", () => {
  const known = { dbu: 4, uncertaintyDb: 0.1 };
  const made = (...all: readonly Measurement[]) => buildInputCalibration(0, all, known);

  it("add the meter's doubt to that of the mean", () => {
    // 0.3 and 0.4 dB are 0.5 dB.
    const one = plausible({ level: reading(-18, "dBFS", 0.4) });
    const { fullScale, returns, channel } = buildInputCalibration(3, [one], {
      dbu: 4,
      uncertaintyDb: 0.3,
    });
    expect(fullScale).toEqual({ value: 22, unit: "dBu", uncertainty: 0.5 });
    expect([returns, channel]).toEqual([1, 3]);
  });

  it("are of readings that all of them have", () => {
    const { readings } = made(plausible({ hiss: reading(-100) }), plausible());
    expect(readings).not.toHaveProperty("hiss");
    expect(readings).toHaveProperty("noise");
    expect(readings.level.unit).toBe("dBFS");
  });

  it("of bounds are the highest, on their side, beside values too", () => {
    const bound: Reading = { ...reading(-120), bound: "lower" };
    const of = (...all: readonly Reading[]) =>
      made(...all.map((hum) => plausible({ hum }))).readings.hum;
    expect(of(bound, { ...bound, value: -118 })).toEqual({
      ...bound,
      value: -118,
      limitedBy: "noise",
    });
    // A value above the bound is one that no more is known of than that it is no more.
    expect(of(bound, reading(-110))).toEqual({
      ...reading(-110),
      limitedBy: "noise",
      bound: "upper",
    });
  });

  it("of bounds are the highest, whichever comes first", () => {
    const bound: Reading = { ...reading(-118), bound: "upper" };
    const made_ = made(plausible({ hum: bound }), plausible({ hum: { ...bound, value: -120 } }));
    expect(made_.readings.hum).toEqual({ ...bound, limitedBy: "noise" });
    // Of two as high the first.
    const [first, second] = [0.3, 0.4].map((uncertainty) => ({ ...bound, uncertainty }));
    const alike = made(plausible({ hum: first }), plausible({ hum: second }));
    expect(alike.readings.hum.uncertainty).toBe(0.3);
  });

  it("of three have the root of their squares over three, unless they scatter", () => {
    const of = (values: readonly number[], u: number) =>
      made(...values.map((value) => plausible({ hum: reading(value, "dBFS", u) }))).readings.hum;
    // 0.3·√3/3; deviations 0.1, 0 and −0.1 of 0.15 each: χ²/2 = 0.44.
    const close = of([-80, -80.1, -80.2], 0.3);
    expect(close.value).toBeCloseTo(-80.1, 9);
    expect(close.uncertainty).toBeCloseTo(0.3 / Math.sqrt(3), 9);
    // Deviations of 0.6, 0 and −0.6: 4, 0, 4 deviations, and χ²/2 = 16.
    expect(of([-79.5, -80.1, -80.7], 0.3).uncertainty).toBeCloseTo((4 * 0.3) / Math.sqrt(3), 9);
    // What is known exactly stays so, as a polarity.
    expect(of([-80, -80], 0)).toMatchObject({ value: -80, uncertainty: 0 });
  });

  const lines = (y: readonly number[], uncertainty: readonly number[], floor?: readonly number[]) =>
    plausible(
      {},
      {
        x: y.map((_, k) => 50 * (k + 1)),
        y,
        uncertainty,
        xUnit: "Hz",
        yUnit: "dBFS",
        ...(floor ? { floor } : {}),
      },
    );

  it("of curves are point by point, and of a bound the highest", () => {
    const floor = [-140, -140];
    const { curves } = made(
      lines([-80, -120], [0.1, 6], floor),
      lines([-81, -119], [0.1, 0.1], floor),
    );
    expect(curves.response.y).toEqual([-80.5, -119]);
    expect(curves.response.uncertainty[1]).toBe(6);
    expect(curves.response.bounds).toEqual([1]);
    // 0.5 dB off with 0.05 of deviation each: χ² = 200, of 0.1/√2.
    expect(curves.response.uncertainty[0]).toBeCloseTo((Math.sqrt(200) * 0.1) / Math.SQRT2, 9);
    // Without a floor there are no bounds, however unsure a point.
    const open = made(lines([-80, -120], [0.1, 6]), lines([-81, -119], [0.1, 6])).curves.response;
    expect(open.y).toEqual([-80.5, -119.5]);
    expect(open).not.toHaveProperty("bounds");
  });

  it("of curves are none where the points differ, or one has none", () => {
    const two = lines([-80, -120], [0.1, 0.1]);
    expect(made(two, lines([-80], [0.1])).curves).toEqual({});
    expect(made(two, { ...two, curves: {} }).curves).toEqual({});
  });
});

describe("the limits of agreement", () => {
  const two = (id: string, by: number) =>
    findDisagreement([0, by].map((off) => plausible({ [id]: reading(-100 + off, "dBFS") })));

  it("lie at 0.1 dB of level and 3 dB of noise", () => {
    expect(two("level", 0.09)).toBeUndefined();
    expect(two("level", -0.11)).toMatchObject({ code: "levels-differ" });
    expect(two("noise", 3)).toBeUndefined();
    expect(two("noise", -3.01)).toMatchObject({ code: "noise-differs" });
  });

  it("are kept at 0.1 dB of level itself", () => {
    const at = (value: number) => plausible({ level: reading(value, "dBFS") });
    expect(findDisagreement([at(0), at(0.1)])).toBeUndefined();
    expect(findDisagreement([at(0.101), at(0)])).toEqual({ code: "levels-differ", db: 0.101 });
  });

  it("lie at 0.1 dB of response, told of the first frequency", () => {
    const curve = (y: readonly number[]) => ({
      ...response(() => 0),
      x: [100, 200, 300],
      y,
      uncertainty: y.map(() => 0.01),
    });
    const of = (...all: readonly (readonly number[])[]) =>
      findDisagreement(all.map((y) => plausible({}, curve(y))));
    expect(of([0, 0, 0], [0, 0.1, -0.1])).toBeUndefined();
    // From −0.1 to 0.1 dB.
    expect(of([0, 0.1, 0], [0, -0.1, 3])).toEqual({ code: "responses-differ", db: 0.2, hz: 200 });
  });

  it("are kept by none at all, and by returns without the figures", () => {
    expect(findDisagreement([])).toBeUndefined();
    expect(findDisagreement([measurement({}), measurement({})])).toBeUndefined();
  });
});
