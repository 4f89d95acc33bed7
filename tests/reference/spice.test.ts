import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { beforeAll, describe, expect, it } from "vitest";
import type { Round, RoundPath } from "../../src/history/types.js";
import { analyze } from "../../src/jobs/analyze.js";

// Source of every expected value: ngspice's small-signal analysis (.ac) and transient spectrum of
// the same circuits that made the capture; fixtures/spice/README.md tells how. None of our code
// had a part in either.

const fixture = (name: string) =>
  fileURLToPath(new URL(`../../fixtures/spice/${name}`, import.meta.url));
const truthFile = (name: string) => readFileSync(new URL(`spice/${name}`, import.meta.url), "utf8");

interface Truth {
  readonly path: string;
  readonly healthy: boolean;
  readonly table: string;
  readonly gainAt1kHzDb: number;
  readonly lowCornerHz: number;
}

const truth: readonly Truth[] = JSON.parse(truthFile("truth.json")).paths;
let round: Round;
const measured = (path: string) => round.paths.find((p) => p.path === path) as RoundPath;

/** Decibels of the .ac table at a frequency, between its points by their logarithm. */
function acTable(name: string): (hz: number) => number {
  const rows = truthFile(name)
    .trim()
    .split("\n")
    .slice(1)
    .map((line) => line.split(",").map(Number));
  return (hz) => {
    const k = rows.findIndex(([f]) => f >= hz);
    const [f0, d0] = rows[k - 1];
    const [f1, d1] = rows[k];
    return d0 + ((d1 - d0) * Math.log(hz / f0)) / Math.log(f1 / f0);
  };
}

beforeAll(async () => {
  const request = {
    desk: fixture("desk.yaml"),
    captures: [fixture("strips.wav")],
    silent: [],
    keep: "preview",
  } as const;
  round = await analyze(request, () => {});
});

describe("the capture that a circuit simulator made", () => {
  it("holds a whole return for every strip, found within a sample of where it was put", () => {
    const { returns } = JSON.parse(truthFile("starts.json"));
    expect(round.paths.every((p) => p.status === "measured")).toBe(true);
    for (const { path, startSample } of returns) {
      expect(Math.abs((measured(path).take?.startSample ?? 0) - startSample)).toBeLessThan(1);
      expect(Math.abs(measured(path).take?.driftPpm ?? 1)).toBeLessThan(0.1);
    }
  });

  for (const { path, table, gainAt1kHzDb } of truth) {
    it(`gives ${path} the response of the .ac analysis within 0.02 dB from 20 Hz to 20 kHz`, () => {
      const ac = acTable(table);
      const { x, y } = measured(path).curves.response;
      expect(x.length).toBe(240 + 1);
      let worst = 0;
      x.forEach((hz, i) => {
        worst = Math.max(worst, Math.abs(y[i] - (ac(hz) - ac(1000))));
      });
      expect(worst).toBeLessThan(0.02);
    });

    it(`gives ${path} the gain of the .ac analysis within 0.02 dB`, () => {
      expect(Math.abs(measured(path).readings.gain.value - gainAt1kHzDb)).toBeLessThan(0.02);
    });
  }

  it("finds the lower corner of the .ac analysis within the uncertainty, from 47 Hz down to 3 Hz", () => {
    for (const { path, lowCornerHz } of truth) {
      const { cornerLow } = measured(path).readings;
      expect(Math.abs(cornerLow.value - lowCornerHz), path).toBeLessThan(cornerLow.uncertainty);
    }
  });

  it("reads the harmonics of 1 kHz out of the sweep as the simulator's spectrum of the tone shows them", () => {
    const spectra = JSON.parse(truthFile("distortion.json")).paths;
    for (const { path, ...tones } of spectra) {
      for (const order of [2, 3]) {
        const { x, y, uncertainty, floor = [] } = measured(path).curves[`harmonic${order}`];
        const at = x.findIndex((hz) => Math.abs(hz - 1000) < 1);
        const expected = tones["tone-1k"].harmonicsDb[order - 2];
        if (y[at] === floor[at]) expect(expected, path).toBeLessThan(y[at]);
        else expect(Math.abs(y[at] - expected), path).toBeLessThan(uncertainty[at]);
      }
    }
  });

  it("reads distortion as the simulator's own spectrum shows it, where noise does not rule", () => {
    const spectra = JSON.parse(truthFile("distortion.json")).paths;
    for (const { path, ...tones } of spectra) {
      const { thd, thdHot } = measured(path).readings;
      for (const [reading, expected] of [
        [thd, tones["tone-1k"].thdDb],
        [thdHot, tones["steps-1k"].thdDb],
      ] as const) {
        if (reading.limitedBy === "noise") continue;
        expect(Math.abs(reading.value - expected), path).toBeLessThan(reading.uncertainty + 0.05);
      }
    }
  });

  it("ranks every faulty circuit above every healthy one", () => {
    const faulty = truth.filter((t) => !t.healthy).map((t) => measured(t.path).rank ?? 99);
    const sound = truth.filter((t) => t.healthy).map((t) => measured(t.path).rank ?? 0);
    expect(Math.max(...faulty)).toBeLessThan(Math.min(...sound));
  });

  it("calls every faulty circuit to attention and no healthy one", () => {
    for (const { path, healthy } of truth) {
      const serious = measured(path).findings.some((f) => f.severity !== "remark");
      expect(serious, path).toBe(!healthy);
    }
  });

  it("names the cause that was drawn into each faulty circuit", () => {
    const first = (path: string) => measured(path).causes[0]?.cause;
    // at one setting of the gain, one capacitor of a strip is like another from outside
    const dried = ["dried-coupling-capacitor", "dried-gain-leg-capacitor"];
    expect(dried).toContain(first("2/line"));
    expect(dried).toContain(first("5/line"));
    expect(first("6/line")).toBe("open-leg");
    expect(first("9/line")).toBe("early-clipping");
  });
});
