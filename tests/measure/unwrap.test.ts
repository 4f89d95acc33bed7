import { describe, expect, it } from "vitest";
import { circularMean, unwrapReadings } from "../../src/measure/unwrap.js";

const phase = (value: number) => ({ stereoPhase: { value, unit: "°", uncertainty: 1 } });

describe("readings that come round again", () => {
  it("are moved by whole turns to within half a turn of another value", () => {
    // closed form: 358 − 360 = −2, −179 + 360 = 181
    expect(unwrapReadings(phase(358), { stereoPhase: 1 }).stereoPhase.value).toBe(-2);
    expect(unwrapReadings(phase(-179), { stereoPhase: 178 }).stereoPhase.value).toBe(181);
  });

  it("leave all others alone", () => {
    const readings = { ...phase(10), level: { value: 400, unit: "dBFS", uncertainty: 0 } };
    expect(unwrapReadings(readings, { stereoPhase: 12, level: 0 })).toBe(readings);
  });

  it("have their middle on the circle", () => {
    // closed form: the vectors of ±170° add up along 180°, those of 10° and 50° along 30°
    expect(Math.abs(circularMean([170, -170], 360))).toBeCloseTo(180, 9);
    expect(circularMean([10, 50], 360)).toBeCloseTo(30, 9);
  });
});
