import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { fitHighRollOff, fitLowRollOff } from "../../src/diagnose/roll-off.js";
import type { Measurement } from "../../src/measure/types.js";
import { familiesOf, usualOf } from "../../src/rank/families.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading, response } from "../helpers/families.js";

// Expected values: closed forms of the circuits named in each test.

/** Names the causes of one odd path among eleven healthy ones. */
function causesOf(odd: Measurement, healthy: Measurement) {
  const inputs = family([odd, ...Array.from({ length: 11 }, () => healthy)]);
  const ranked = rankPaths(inputs);
  const siblings = familiesOf(inputs).get("mic") ?? [];
  return diagnosePath(inputs[0], ranked[0], usualOf(siblings)).map((c) => c.cause);
}

const highPass = (corner: number, order: number) => (hz: number) =>
  -10 * Math.log10(1 + (corner / hz) ** (2 * order));

const healthyReadings = {
  gain: reading(0),
  noise: reading(-105, "dBFS", 0.1),
  noiseA: reading(-108, "dBFS", 0.1),
  hum: reading(-120, "dBFS", 1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  compression: reading(0),
  polarity: reading(1, "", 0),
};
const flat = { response: response(highPass(3, 1)) };
const healthy = measurement(healthyReadings, flat);
const odd = (changes: Partial<typeof healthyReadings>, curve = flat.response) =>
  measurement({ ...healthyReadings, ...changes }, { response: curve });

describe("fitLowRollOff", () => {
  it("finds order and corner of first-, second- and third-order high-passes", () => {
    for (const order of [1, 2, 3]) {
      for (const corner of [15, 40, 80, 150]) {
        const { x, y } = response(highPass(corner, order));
        const fit = fitLowRollOff({ x, y });
        expect(fit?.order, `order ${order} at ${corner} Hz`).toBe(order);
        expect((fit?.cornerHz ?? 0) / corner).toBeCloseTo(1, 2);
      }
    }
  });
});

describe("fitHighRollOff", () => {
  it("finds the corner of a shunt capacitance", () => {
    const { x, y } = response((hz) => -10 * Math.log10(1 + (hz / 7000) ** 2));
    const fit = fitHighRollOff({ x, y });
    expect(fit?.order).toBe(1);
    expect((fit?.cornerHz ?? 0) / 7000).toBeCloseTo(1, 1);
  });
});

describe("diagnosePath", () => {
  it("names nothing for a healthy path", () => {
    expect(causesOf(healthy, healthy)).toEqual([]);
  });

  it("tells a dried capacitor (first order) from a low-cut left in (second and third order)", () => {
    expect(causesOf(odd({}, response(highPass(45, 1))), healthy)[0]).toBe("dried-capacitor");
    expect(causesOf(odd({}, response(highPass(80, 2))), healthy)[0]).toBe("low-cut-left-in");
    expect(causesOf(odd({}, response(highPass(80, 3))), healthy)[0]).toBe("low-cut-left-in");
  });

  it("tells an open leg (half the voltage, hum) from a control off its mark", () => {
    const open = odd({
      gain: reading(-6.02),
      hum: reading(-85, "dBFS"),
      noise: reading(-85, "dBFS"),
    });
    expect(causesOf(open, healthy)[0]).toBe("open-leg");
    expect(causesOf(odd({ gain: reading(-2.5) }), healthy)[0]).toBe("gain-off");
    expect(causesOf(odd({ gain: reading(3) }), healthy)[0]).toBe("gain-off");
  });

  it("tells an equaliser (a lift, or a dip that recovers) from a loss", () => {
    const bell = (db: number) => (hz: number) =>
      highPass(3, 1)(hz) + db / (1 + (Math.log2(hz / 3000) / 0.7) ** 2);
    expect(causesOf(odd({}, response(bell(5))), healthy)[0]).toBe("equaliser-left-in");
    expect(causesOf(odd({}, response(bell(-5))), healthy)[0]).toBe("equaliser-left-in");
    const loss = (hz: number) => highPass(3, 1)(hz) - 10 * Math.log10(1 + (hz / 8000) ** 2);
    expect(causesOf(odd({}, response(loss)), healthy)[0]).toBe("high-loss");
  });

  it("tells hiss from hum by how much of the noise is mains", () => {
    const hiss = odd({ noise: reading(-94, "dBFS"), noiseA: reading(-97, "dBFS") });
    expect(causesOf(hiss, healthy)[0]).toBe("noisy-device");
    const hum = odd({
      noise: reading(-90, "dBFS"),
      noiseA: reading(-104, "dBFS"),
      hum: reading(-90.1, "dBFS", 0.1),
    });
    expect(causesOf(hum, healthy)[0]).toBe("hum-pickup");
  });

  it("names early clipping, reversed polarity and a dead path", () => {
    expect(causesOf(odd({ thdHot: reading(-30), compression: reading(-1) }), healthy)[0]).toBe(
      "early-clipping",
    );
    expect(causesOf(odd({ polarity: reading(-1, "", 0) }), healthy)[0]).toBe("polarity-reversed");
    expect(causesOf(odd({ gain: reading(-70) }), healthy)).toEqual(["no-signal"]);
  });
});
