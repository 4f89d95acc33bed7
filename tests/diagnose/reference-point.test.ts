import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { fitBell } from "../../src/diagnose/shapes.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { family, measurement, reading, response } from "../helpers/families.js";

/**
 * A resonant bell worked out from its complex transfer function, H = (1 + ju·g)/(1 + ju) with
 * u = (f/f₀ − f₀/f)·Q inverted; decibels. g is the height as a factor.
 */
function bellDb(hz: number, middleHz: number, q: number, heightDb: number): number {
  const g = 10 ** (Math.abs(heightDb) / 20);
  const x = hz / middleHz;
  const open = { re: 1 - x * x, im: x / q };
  const lifted = { re: open.re, im: (g * x) / q };
  const db = 20 * Math.log10(Math.hypot(lifted.re, lifted.im) / Math.hypot(open.re, open.im));
  return Math.sign(heightDb) * db;
}

const bells = [
  [1200, 1, 7],
  [1000, 2, 9],
  [900, 0.7, -6],
  [1000, 3, -12],
  [700, 1.5, 12],
] as const;

describe("a bell about 1 kHz, where level and response are counted from", () => {
  const sound = {
    gain: reading(0, "dB", 0.2),
    noise: reading(-100, "dBFS"),
    hum: reading(-120, "dBFS"),
    thd: reading(-90),
    thd100: reading(-90),
    thdHot: reading(-80),
  };
  const healthy = measurement(sound, { response: response(() => 0) });
  const around = ([middleHz, q, heightDb]: readonly [number, number, number]) => {
    const at = (hz: number) => bellDb(hz, middleHz, q, heightDb);
    const odd = measurement(
      { ...sound, gain: reading(at(1000), "dB", 0.2) },
      { response: response((hz) => at(hz) - at(1000)) },
    );
    return family([odd, ...Array.from({ length: 9 }, () => healthy)]);
  };

  it.each(bells)("is found with its height: %i Hz, Q %f, %i dB", (middleHz, q, heightDb) => {
    const at = (hz: number) => bellDb(hz, middleHz, q, heightDb);
    const { x, y } = response((hz) => at(hz) - at(1000));
    const found = fitBell({ x, y });
    expect(found.hz / middleHz).toBeCloseTo(1, 1);
    expect(Math.abs(found.db - heightDb)).toBeLessThan(0.5);
    expect(Math.abs(found.at1kDb - at(1000))).toBeLessThan(0.3);
  });

  it.each(bells)("is named, and nothing else is short: %i Hz, Q %f, %i dB", (...bell) => {
    const inputs = around(bell);
    const [odd] = rankPaths(inputs);
    const siblings = groupFamilies(inputs).get("mic") ?? [];
    const causes = diagnosePath(inputs[0], odd, { usual: computeFamilyStats(siblings) });
    expect(causes[0].cause).toBe("equaliser-left-in");
    const lost = odd.findings.filter(
      ({ reading: id, deviation }) => id === "response" && deviation * bell[2] < 0,
    );
    expect(lost).toEqual([]);
  });

  it("leaves what is lost at one end where it is, however much", () => {
    const thin = measurement(sound, {
      response: response((hz) => -10 * Math.log10(1 + (300 / hz) ** 4)),
    });
    const [odd] = rankPaths(family([thin, ...Array.from({ length: 9 }, () => healthy)]));
    expect(odd.findings.map(({ deviation }) => Math.sign(deviation))).toEqual([-1, -1]);
  });
});
