import { describe, expect, it } from "vitest";
import { measureReturn } from "../../src/measure/measure.js";
import { buildSignalTable } from "../../src/signal/signal-table.js";
import {
  highPass1,
  highPass2,
  lowPass1,
  magnitudeDb,
  peak2,
  throughFilter,
} from "../helpers/analogue.js";
import { addNoise } from "../helpers/captures.js";
import { excerpt, returnThrough } from "../helpers/excerpt.js";
import { slow } from "../helpers/slow.js";

// Expected values: closed forms of analogue filters (tests/helpers/analogue.ts), the corner where
// they lie 3.01 dB below their own 1 kHz.

type Complex = readonly [number, number];
type Filter = (hz: number) => Complex;

const rate = 48_000;
const halfPowerDb = 10 * Math.log10(2);
const table = excerpt(buildSignalTable("standard", "base"), ["silence", "sweep"]);
const dry = returnThrough(table, rate, (x) => x);

function row(...filters: readonly Filter[]): Filter {
  return (hz) =>
    filters.map((f) => f(hz)).reduce(([a, b], [c, d]): Complex => [a * c - b * d, a * d + b * c]);
}

function measured(filter: Filter, noiseRms = 0, seed = 1) {
  const samples = throughFilter(dry.samples, rate, filter);
  if (noiseRms > 0) addNoise(samples, noiseRms, seed);
  return measureReturn({ ...dry, samples });
}

/** Frequency below 1 kHz at which a filter lies `db` under its 1 kHz. */
function lowerPoint(filter: Filter, db: number): number {
  const reference = magnitudeDb(filter(1000));
  let low = 0.1;
  let high = 1000;
  for (let k = 0; k < 60; k++) {
    const middle = Math.sqrt(low * high);
    if (magnitudeDb(filter(middle)) - reference < -db) low = middle;
    else high = middle;
  }
  return low;
}

const filters: Record<string, { readonly filter: Filter; readonly order: number }> = {
  "one capacitor at 30 Hz": { filter: highPass1(30), order: 1 },
  "a low-cut of second order at 80 Hz": { filter: highPass2(80, Math.SQRT1_2), order: 2 },
  "a low-cut of third order at 80 Hz": { filter: row(highPass2(80, 1), highPass1(80)), order: 3 },
  // ln 9 / ln((√10 − 1)/(√2 − 1))
  "two capacitors at 30 Hz": { filter: row(highPass1(30), highPass1(30)), order: 1.3294 },
};

/** The sweep of the base signals ends at 21 kHz; its last 3.5 % are its fade. */
const edgeHz = 0.965 * 21_000;

describe("cornerLow and orderLow", () => {
  for (const [name, { filter, order }] of Object.entries(filters)) {
    it(`read ${name} within a thousandth, order within a hundredth`, () => {
      const { readings, absent } = measured(filter, 2e-5);
      expect(readings.cornerLow.value / lowerPoint(filter, halfPowerDb)).toBeCloseTo(1, 3);
      expect(Math.abs(readings.orderLow.value - order)).toBeLessThan(0.01);
      expect(readings.orderLow.uncertainty).toBeLessThan(0.05);
      expect(absent.cornerHigh).toEqual({ code: "corner-beyond-sweep", end: "high", edgeHz });
      expect(absent.orderHigh).toEqual({ code: "no-roll-off" });
    });
  }

  it("extrapolate the corner of coupling capacitors below the sweep, and doubt the order", () => {
    for (const filter of [highPass1(2), row(highPass1(1), highPass1(2), highPass1(3))]) {
      const { cornerLow } = measured(filter, 2e-5).readings;
      const truth = lowerPoint(filter, halfPowerDb);
      expect(Math.abs(cornerLow.value - truth)).toBeLessThan(cornerLow.uncertainty);
      expect(cornerLow.uncertainty).toBeLessThan(0.15 * truth);
    }
    expect(measured(highPass1(2), 2e-5).readings.orderLow.uncertainty).toBeGreaterThan(0.1);
  });

  it("find neither where nothing rolls off, nor in the tail of a bump elsewhere", () => {
    const bump = peak2(100, 2, 3);
    for (const filter of [row(lowPass1(8000)), bump]) {
      const { readings, absent } = measured(filter, 1e-5);
      expect(readings.cornerLow).toBeUndefined();
      expect(absent.cornerLow).toMatchObject({ code: "corner-beyond-sweep", end: "low" });
      expect(readings.orderLow).toBeUndefined();
    }
    expect(measured(bump, 1e-5).absent.cornerHigh).toMatchObject({ end: "high", edgeHz });
  });

  it("take the corner from the crossing and give no order where a bump stands before it", () => {
    const filter = row(peak2(100, 2, 3), highPass1(40));
    const { readings, absent } = measured(filter, 1e-5);
    const truth = lowerPoint(filter, halfPowerDb);
    expect(Math.abs(readings.cornerLow.value - truth)).toBeLessThan(readings.cornerLow.uncertainty);
    expect(absent.orderLow).toEqual({ code: "other-shape", end: "low" });
  });

  it("hold the corner of 24 random capacitors in noise in their interval", slow, () => {
    let held = 0;
    let made = 0;
    for (let k = 0; k < 24; k++) {
      const filter = highPass1(1.5 * 80 ** (k / 24));
      const { cornerLow } = measured(filter, 3e-5 * 30 ** (((k * 7) % 24) / 24), k + 1).readings;
      if (!cornerLow) continue;
      made++;
      const off = Math.abs(cornerLow.value - lowerPoint(filter, halfPowerDb));
      if (off <= cornerLow.uncertainty) held++;
    }
    expect(made).toBeGreaterThan(18);
    // binomial of 24 at 95 %: 20 or more in 99 %
    expect(held / made).toBeGreaterThan(0.83);
  });
});

describe("cornerHigh and orderHigh", () => {
  it("read a shunt capacitance within the sweep and above it", () => {
    for (const cornerHz of [8000, 30_000]) {
      const { readings } = measured(lowPass1(cornerHz), 1e-5);
      const atKilohertz = 1 + (1000 / cornerHz) ** 2;
      const truth = cornerHz * Math.sqrt(2 * atKilohertz - 1);
      const off = Math.abs(readings.cornerHigh.value - truth);
      expect(off).toBeLessThan(readings.cornerHigh.uncertainty);
      expect(readings.orderHigh.value).toBeCloseTo(1, 1);
    }
  });

  /** Flat to one frequency, nothing from the other on: half a cosine between. */
  const wall =
    (fromHz: number, toHz: number): Filter =>
    (hz) => {
      const beyond = Math.min(1, Math.max(0, (hz - fromHz) / (toHz - fromHz)));
      return [0.5 + 0.5 * Math.cos(Math.PI * beyond), 0];
    };

  it("give the crossing of a digital filter's edge, and no order", () => {
    const { readings, absent } = measured(wall(17_000, 20_000), 1e-5);
    // ½ + ½·cos πx = √½
    const truth = 17_000 + (3000 / Math.PI) * Math.acos(Math.SQRT2 - 1);
    const { value, uncertainty } = readings.cornerHigh;
    expect(Math.abs(value - truth)).toBeLessThan(uncertainty);
    expect(uncertainty).toBeLessThan(30);
    expect(absent.orderHigh).toEqual({ code: "other-shape", end: "high" });
  });

  it("say that an edge seen half is none of a roll-off, and give no figure", () => {
    const { readings, absent } = measured(wall(19_000, 23_500), 1e-5);
    expect(readings.cornerHigh).toBeUndefined();
    expect(absent.cornerHigh).toMatchObject({ edgeHz, isOtherShape: true });
    expect(readings.orderHigh).toBeUndefined();
  });
});

describe("a corner under hum far above the hiss", () => {
  it("is that of the path: the lines of the mains are taken out of the sweep", () => {
    const samples = throughFilter(dry.samples, rate, highPass1(4));
    addNoise(samples, 1e-5, 3);
    samples.forEach((_, n) => {
      const at = (2 * Math.PI * 50.03 * n) / rate;
      samples[n] += 3e-3 * Math.sin(at + 1) + 1e-3 * Math.sin(3 * at + 2);
    });
    const { cornerLow } = measureReturn({ ...dry, samples }).readings;
    const truth = lowerPoint(highPass1(4), halfPowerDb);
    expect(Math.abs(cornerLow.value - truth)).toBeLessThan(cornerLow.uncertainty);
    expect(cornerLow.uncertainty).toBeLessThan(0.05 * truth);
  });
});
