import { describe, expect, it } from "vitest";
import {
  computeResponseRise,
  withResponse,
} from "../../../src/measure/calibration/response-share.js";
import type { OwnShare } from "../../../src/measure/reading-kind.js";
import { findReadingKind } from "../../../src/measure/reading-kinds.js";
import type { Curve } from "../../../src/measure/types.js";

const curveOf = (
  points: readonly (readonly [hz: number, db: number])[],
  uncertainty = 0.1,
): Curve => ({
  x: points.map(([hz]) => hz),
  y: points.map(([, db]) => db),
  uncertainty: points.map(() => uncertainty),
  xUnit: "Hz",
  yUnit: "dB",
});
const own = (id: string): OwnShare => {
  const share = findReadingKind(id)?.own;
  if (share === undefined) throw new Error(`${id} has nothing of the interface`);
  return share;
};
const heard = (value: number) => ({ value, unit: "dBFS", uncertainty: 0.1 });
const half = 10 * Math.log10(2);

describe("the interface's response in what a path adds on its own", () => {
  // Half of the power at 1 kHz and half at 10 kHz, where the interface loses half.
  const noise = curveOf([
    [1000, -100],
    [10_000, -100 - half],
  ]);
  const response = curveOf([
    [50, -half],
    [100, -half],
    [200, 0],
    [1000, 0],
    [10_000, -half],
  ]);

  it("is its mean over the noise", () => {
    // closed form: of the path's 1 + 1 come back 1 + 1/2
    const rise = computeResponseRise(heard(-97), own("hiss"), {}, { noise }, response);
    expect(rise).toBeCloseTo(10 * Math.log10(3 / 4), 10);
  });

  it("is weighted as the reading is", () => {
    // IEC 61672-1, table 3: A-weighting is 0 dB at 1 kHz and −2.5 dB at 10 kHz
    const weight = 10 ** (-2.5 / 10);
    const rise = computeResponseRise(heard(-97), own("noiseA"), {}, { noise }, response);
    expect(rise).toBeCloseTo(10 * Math.log10((1 + weight / 2) / (1 + weight)), 2);
  });

  it("counts lines where they lie, odd and even ones by themselves, none that are bounds", () => {
    const humLines = curveOf([
      [50, -80 - half],
      [100, -300],
      [150, -300],
      [200, -80],
    ]);
    const rise = (id: string, lines = humLines) =>
      computeResponseRise(heard(-80), own(id), {}, { humLines: lines }, response);
    expect(rise("humOdd")).toBeCloseTo(-half, 6);
    expect(rise("humEven")).toBeCloseTo(0, 6);
    expect(rise("hum")).toBeCloseTo(10 * Math.log10(3 / 4), 6);
    expect(rise("hum", { ...humLines, uncertainty: humLines.x.map(() => 6) })).toBe(0);
  });

  it("counts harmonics for nothing in what stands against the tone", () => {
    // closed form: noise of 1 + 1/2 heard at a tone of 0 dBFS, and as much again of harmonics
    const whole = 10 * Math.log10(2 * 1.5e-10);
    const rise = computeResponseRise(
      heard(whole),
      own("thdN"),
      { level: heard(0) },
      { noise },
      response,
    );
    expect(rise).toBeCloseTo(10 * Math.log10(3 / 3.5), 6);
  });

  it("is that at the frequency of a stray tone", () => {
    const readings = { strayToneHz: { value: 10_000, unit: "Hz", uncertainty: 0.1 } };
    expect(computeResponseRise(heard(-80), own("strayTone"), readings, {}, response)).toBeCloseTo(
      -half,
      10,
    );
    expect(computeResponseRise(heard(-80), own("strayTone"), {}, {}, response)).toBe(0);
  });

  it("is nothing where no response was kept, and in what adds otherwise", () => {
    expect(computeResponseRise(heard(-97), own("hiss"), {}, { noise }, undefined)).toBe(0);
    expect(computeResponseRise(heard(0), own("compression"), {}, { noise }, response)).toBe(0);
  });

  it("leaves the truth between none of it and all, with the reading's own doubt beyond", () => {
    const reading = { value: -100, unit: "dBFS", uncertainty: 0.1, common: 0.02 };
    const { value, uncertainty, common } = withResponse(reading, -0.4);
    expect(value - uncertainty).toBeCloseTo(-100.1, 10);
    expect(value + uncertainty).toBeCloseTo(-99.6 + 0.1, 10);
    expect(common).toBeCloseTo(0.22, 10);
    const bound = { value: -100, unit: "dBFS", uncertainty: 6, bound: "upper" as const };
    expect(withResponse(bound, -0.4).value).toBeCloseTo(-99.6, 10);
    expect(withResponse(bound, 0.4).value).toBe(-100);
  });
});

describe("the parts of a reading that the response bears on", () => {
  // The interface loses half the power at 100 Hz and below, and nothing from 1 kHz on.
  const response = curveOf([
    [100, -half],
    [1000, 0],
  ]);
  const band = { fromHz: 100, toHz: 2000, weighting: "flat" } as const;
  const rise = (
    share: OwnShare,
    curves: Parameters<typeof computeResponseRise>[3],
    readings = {},
  ) => computeResponseRise(heard(-100), share, readings, curves, response);

  it("are the bands within its own, their edges with them", () => {
    const at = (...points: readonly (readonly [number, number])[]) =>
      rise({ adds: "power", band }, { noise: curveOf(points) });
    const outside = [99, -60] as const;
    // Of one and one the lower came back by half: 3/4.
    expect(at([100, -100 - half], [2000, -100])).toBeCloseTo(10 * Math.log10(3 / 4), 10);
    expect(at(outside, [100, -100 - half], [2000, -100])).toBeCloseTo(10 * Math.log10(3 / 4), 10);
    expect(at([100, -100 - half], [2000, -100], [2001, -60])).toBeCloseTo(
      10 * Math.log10(3 / 4),
      10,
    );
    expect(at([100, -100])).toBeCloseTo(-half, 10);
    expect(at()).toBe(0);
  });

  it("are noise and lines together", () => {
    const curves = { noise: curveOf([[2000, -100]]), humLines: curveOf([[100, -100 - half]]) };
    expect(rise({ adds: "power", band, lines: "humLines" }, curves)).toBeCloseTo(
      10 * Math.log10(3 / 4),
      10,
    );
    expect(rise({ adds: "power", band }, curves)).toBeCloseTo(0, 10);
    // Third octaves stand for themselves, and without a band or a curve there is nothing.
    expect(rise({ adds: "power", band: "third-octaves", lines: "humLines" }, curves)).toBe(0);
    expect(rise({ adds: "power", lines: "humLines" }, curves)).toBe(0);
    expect(rise({ adds: "difference" }, curves)).toBe(0);
  });

  it("have no harmonics where the level is not known, or noise is all there is", () => {
    const share = { adds: "power", band, against: "level" } as const;
    const curves = { noise: curveOf([[100, -100 - half]]) };
    expect(rise(share, curves)).toBeCloseTo(-half, 10);
    // Half of −100 dB is that noise, and half is harmonics, which lie where nothing is lost.
    const level = { value: 0, unit: "dBFS", uncertainty: 0.1 };
    const known = { level: { ...level, value: 10 * Math.log10(3 / 2) } };
    // Heard are 1.5: 0.5 of noise that came back by half, and 1 of harmonics.
    expect(rise(share, curves, known)).toBeCloseTo(10 * Math.log10(1.5 / 2), 10);
    expect(rise(share, curves, { level: { ...level, value: -20 } })).toBeCloseTo(-half, 10);
    expect(rise(share, {}, known)).toBe(0);
  });

  it("leave a reading as it is where nothing is known", () => {
    const reading = heard(-80);
    expect(withResponse(reading, 0)).toBe(reading);
    // 0.2 dB more: from −80.2 to −80, and no share that was common before.
    expect(withResponse(reading, 0.2)).toEqual({
      value: expect.closeTo(-80.1, 12),
      unit: "dBFS",
      uncertainty: expect.closeTo(0.2, 12),
      common: expect.closeTo(0.1, 12),
    });
  });
});
