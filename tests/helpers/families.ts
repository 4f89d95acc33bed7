import type { Curve, Measurement, Reading } from "../../src/measure/types.js";
import type { PathToRank } from "../../src/rank/family-stats.js";

export function reading(value: number, unit = "dB", uncertainty = 0.01): Reading {
  return { value, unit, uncertainty };
}

/** A response at a coarse grid, decibels above that at 1 kHz. */
export function response(db: (hz: number) => number, uncertainty = 0.003): Curve {
  const x = Array.from({ length: 240 }, (_, k) => 20 * 10 ** ((3 * k) / 239));
  return {
    x,
    y: x.map((hz) => db(hz) - db(1000)),
    uncertainty: x.map(() => uncertainty),
    xUnit: "Hz",
    yUnit: "dB",
  };
}

export function measurement(
  readings: Record<string, Reading>,
  curves: Record<string, Curve> = {},
): Measurement {
  return { readings, absent: {}, curves };
}

/** A family of paths `1/mic`, `2/mic`, … */
export function family(measurements: readonly Measurement[], name = "mic"): readonly PathToRank[] {
  return measurements.map((m, i) => ({ path: `${i + 1}/${name}`, family: name, measurement: m }));
}
