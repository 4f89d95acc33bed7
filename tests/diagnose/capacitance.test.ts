import { describe, expect, it } from "vitest";
import { findLostCapacitance, findSeenFromHz } from "../../src/diagnose/capacitance.js";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { buildPathEvidence } from "../../src/diagnose/path-evidence.js";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";
import {
  computeFamilyStats,
  type FamilyStats,
  groupFamilies,
} from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { lowMovedDb, movedTimes } from "../../src/rank/responses.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { family, measurement, reading, response } from "../helpers/families.js";
import { evidence } from "../helpers/path-evidence.js";

// Expected: circuit theory. Capacitors in a row, each a first-order high-pass at 1/(2πRC), give the
// response and the corner that is read from it; what is left of one is what was put there.

/** Corners of two coupling capacitors and the leg of a gain stage, hertz. */
const sound = [2.4, 1.3, 0.8];

const cascade = (corners: readonly number[]) => (hz: number) =>
  -10 * corners.reduce((sum, fc) => sum + Math.log10(1 + (fc / hz) ** 2), 0);

/** Where a row of them has fallen by 3.01 dB. */
function cornerOf(corners: readonly number[]): number {
  let hz = 0.1;
  while (cascade(corners)(hz) < -10 * Math.log10(2)) hz *= 1.001;
  return hz;
}

function strip(corners: readonly number[]) {
  const db = cascade(corners);
  const x = Array.from({ length: 10 }, (_, k) => 8 + 1.25 * k);
  const low = {
    x,
    y: x.map((hz) => db(hz) - db(1000)),
    uncertainty: x.map(() => 0.01),
    xUnit: "Hz" as const,
    yUnit: "dB",
  };
  const readings = {
    gain: reading(0, "dB", 0.2),
    noise: reading(-100, "dBFS"),
    thd: reading(-90),
    thd100: reading(-90),
    thdHot: reading(-80),
    cornerLow: reading(cornerOf(corners), "Hz", 0.05),
  };
  return measurement(readings, { response: response(db), responseLow: low });
}

/** Electrolytics scatter by a tenth. */
const healthy = Array.from({ length: 10 }, (_, k) =>
  strip(sound.map((hz, j) => hz * (1 + 0.1 * Math.sin(1.7 * k + 2.3 * j)))),
);

function judge(corners: readonly number[]) {
  const inputs = family([strip(corners), ...healthy]);
  const [odd] = rankPaths(inputs);
  const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
  const causes = diagnosePath(inputs[0], odd, { usual });
  return { odd, causes, evidence: buildPathEvidence(inputs[0], odd.findings, { usual }) };
}

describe("a coupling capacitor that dries and is not heard yet", () => {
  it.each([0.3, 0.25])("is to be watched at %f of its value, with what is left", (left) => {
    const { odd, causes, evidence } = judge([sound[0] / left, sound[1], sound[2]]);
    expect(odd.findings.map(({ severity }) => severity)).toContain("watch");
    expect(odd.findings.map(({ severity }) => severity)).not.toContain("service");
    expect(causes[0].cause).toMatch(/^dried-/);
    const found = findLostCapacitance(evidence);
    expect(found?.left?.from).toBeLessThanOrEqual(left);
    expect(found?.left?.until).toBeGreaterThanOrEqual(left);
    expect(causes[0].evidence.map(formatEvidence).join(" ")).toMatch(
      /of its siblings' capacitance left/,
    );
  });

  it("says from what share on it will be heard", () => {
    const { causes } = judge([sound[0] / 0.3, sound[1], sound[2]]);
    // One alone of corner f₀ loses 1 dB at 20 Hz when (20² + f₀²/x²)/(20² + f₀²) = 10^0.1.
    const alone = cornerOf(sound) / Math.SQRT2;
    const share = alone / Math.sqrt(10 ** 0.1 * (400 + alone ** 2) - 400);
    const said = /−1 dB there from about (\d+) % on/.exec(
      causes[0].evidence.map(formatEvidence).join(" "),
    );
    expect(Number(said?.[1])).toBeCloseTo(100 * share, -0.5);
  });

  it("is left alone within what new ones scatter, also at half its value", () => {
    for (const left of [0.8, 1.3, 0.55]) {
      const { odd } = judge([sound[0] / left, sound[1], sound[2]]);
      expect(odd.findings.filter(({ severity }) => severity !== "remark")).toEqual([]);
    }
  });

  it("is bounded: one whose corner lies below what is said to be seen does not show", () => {
    const { evidence } = judge(sound);
    const seen = findSeenFromHz(evidence, cornerOf(sound)) ?? 0;
    expect(seen).toBeGreaterThan(0.5);
    const junior = [sound[0], sound[1], 0.7 * seen];
    const dry = [sound[0], sound[1], (0.7 * seen) / 0.25];
    const lostDb = cascade(junior)(10.5) - cascade(dry)(10.5);
    // It loses less there than is called a difference, or moves the corner too little.
    const leastDb = Math.max(lowMovedDb, 4 * (evidence.response?.spread[2] ?? 0));
    expect(lostDb < leastDb || cornerOf(dry) < movedTimes * cornerOf(junior)).toBe(true);
  });

  it("is no filter: the same loss at second order is none of a capacitor's", () => {
    const db = (hz: number) => cascade(sound)(hz) - 10 * Math.log10(1 + (40 / hz) ** 4);
    const low = strip(sound).curves.responseLow;
    const cut = measurement(strip(sound).readings, {
      response: response(db),
      responseLow: { ...low, y: low.x.map((hz) => db(hz) - db(1000)) },
    });
    const inputs = family([cut, ...healthy]);
    const [odd] = rankPaths(inputs);
    const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
    expect(diagnosePath(inputs[0], odd, { usual })[0].cause).toBe("low-cut-left-in");
  });
});

it("of a corner that moved by less than half of itself nothing is said to be lost", () => {
  // One of a row in squares: √½ of 10 Hz moves by 4.8 Hz, or by 5.2.
  const x = buildOctaveGrid(24, 2, 20_000);
  const found = (movedHz: number) => {
    const lost = (hz: number) => -10 * Math.log10(1 + movedHz ** 2 / (hz ** 2 + 50));
    const y = x.map((hz) => lost(hz) - lost(1000));
    const response = { x, y, spread: x.map(() => 0.1), uncertainty: x.map(() => 0.01) };
    const cornerLow = { count: 20, median: 10, scale: 0.1 };
    const usual: FamilyStats = { count: 20, readings: { cornerLow }, curves: {}, excess: 1 };
    return findLostCapacitance(evidence({}, { response, usual }));
  };
  expect(found(4.8)?.left).toBeUndefined();
  expect(found(4.8)?.evidence).toEqual([]);
  expect(found(5.2)?.left?.share).toBeCloseTo(Math.SQRT1_2 / Math.hypot(Math.SQRT1_2, 0.52), 2);
});
