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

describe("what is left of a capacitor", () => {
  const grid = [5, 6, 7, 8, 10, 12, 14, 17, ...buildOctaveGrid(24, 20, 20_000)];
  const moved = (movedHz: number, usualHz: number) => (hz: number) =>
    -10 * Math.log10(1 + movedHz ** 2 / (hz ** 2 + usualHz ** 2));
  const found = (movedHz: number, usualHz: number | undefined, spread = 0.1) => {
    const db = moved(movedHz, usualHz === undefined ? 0 : Math.SQRT1_2 * usualHz);
    const response = {
      x: grid,
      y: grid.map((hz) => db(hz) - db(1000)),
      spread: grid.map(() => spread),
      uncertainty: grid.map(() => 0.01),
    };
    const readings =
      usualHz === undefined ? {} : { cornerLow: { count: 9, median: usualHz, scale: 0.1 } };
    const usual = { count: 9, readings, curves: {}, excess: 1 } as FamilyStats;
    return findLostCapacitance(evidence({}, { response, usual }));
  };

  it("follows from how far its corner moved: alone, one of two, or half of the chain's square", () => {
    // Of 10 Hz, 30 Hz more in squares: 7.07/30.8, and from 5/30.4 to 10/31.6.
    const lost = found(30, 10);
    expect(lost?.fit.hz).toBeCloseTo(30, 1);
    expect(lost?.cornerHz).toBeCloseTo(Math.hypot(50 ** 0.5, 30), 1);
    expect(lost?.left?.share).toBeCloseTo(50 ** 0.5 / Math.hypot(50 ** 0.5, 30), 3);
    expect(lost?.left?.from).toBeCloseTo(5 / Math.hypot(5, 30), 3);
    expect(lost?.left?.until).toBeCloseTo(10 / Math.hypot(10, 30), 3);
    // 10·lg(1 + 30²/(20² + 50)) at 20 Hz is 4.8 dB: it is heard, so nobody asks from where on.
    const [seen] = lost?.evidence ?? [];
    expect(seen).toMatchObject({ code: "capacitance-left", usualHz: 10, ...lost?.left });
    expect(seen).not.toHaveProperty("heardFrom");
    expect(seen).toMatchObject({ lost20HzDb: expect.closeTo(moved(30, 50 ** 0.5)(20), 1) });
  });

  it("is said with the share from which 20 Hz loses 1 dB, while it loses less", () => {
    // 1 dB at 20 Hz of a corner of 2 Hz: √((10^0.1 − 1)·(20² + 2)); in steps of 2 %.
    const [seen] = found(4, 2)?.evidence ?? [];
    const at = Math.sqrt((10 ** 0.1 - 1) * 402);
    const shareAt = (hz: number) => Math.SQRT2 / Math.hypot(Math.SQRT2, hz);
    const heardFrom = seen?.code === "capacitance-left" ? (seen.heardFrom ?? 0) : 0;
    expect(heardFrom).toBeLessThanOrEqual(shareAt(at));
    expect(heardFrom).toBeGreaterThan(shareAt(1.03 * at));
  });

  it("is not to be told without the siblings' corner", () => {
    for (const usualHz of [undefined, 0]) {
      const lost = found(30, usualHz);
      expect(lost).toEqual({ fit: lost?.fit, cornerHz: lost?.fit.hz, evidence: [] });
      expect(lost?.fit.hz).toBeCloseTo(30, 1);
    }
  });

  it("says below what corner a quarter would not be seen, where anything lies below the band", () => {
    const lost = found(30, 10);
    expect(lost?.evidence.map(({ code }) => code)).toEqual([
      "capacitance-left",
      "capacitors-unseen",
    ]);
    expect(lost?.evidence[1]).toMatchObject({
      belowHz: findSeenFromHz(
        evidence(
          {},
          {
            response: {
              x: grid,
              y: grid.map(() => 0),
              spread: grid.map(() => 0.1),
              uncertainty: grid.map(() => 0),
            },
          },
        ),
        10,
      ),
    });
  });

  it.each([
    // The third of the points below 20 Hz, or the last; four spreads, or 0.3 dB.
    [[5], [0.1], 1, 5, 0.4],
    [[5, 20], [0.1, 9], 1, 5, 0.4],
    [[5, 8], [9, 0.1], 1, 8, 0.4],
    [[5, 8, 12], [9, 9, 0.1], 1, 12, 0.4],
    [[5, 8, 12, 19.9], [9, 9, 0.1, 9], 1, 12, 0.4],
    [[5], [0.074], 1, 5, 0.3],
    [[5], [0.076], 1, 5, 0.304],
    [[5], [0.1], 9, 5, 0.4],
  ])(
    "below %j Hz with spreads of %j is seen beside a corner of %d Hz at %d Hz by %f dB",
    (...row) => {
      const [x, spread, usualHz, atHz, db] = row;
      const response = { x, y: x.map(() => 0), spread, uncertainty: x.map(() => 0) };
      const fallen = Math.sqrt((10 ** (db / 10) - 1) * (atHz ** 2 + usualHz ** 2));
      // A chain's corner counts as moved from 1.6 times on; a quarter left is √15 of its corner.
      const least = Math.max(fallen, Math.sqrt(1.6 ** 2 - 1) * usualHz) / Math.sqrt(15);
      expect(findSeenFromHz(evidence({}, { response }), usualHz)).toBeCloseTo(least, 12);
    },
  );

  it("is never seen below the band where nothing was read there", () => {
    const response = { x: [20, 30], y: [0, 0], spread: [1, 1], uncertainty: [0, 0] };
    expect(findSeenFromHz(evidence({}, { response }), 1)).toBeUndefined();
    expect(findSeenFromHz(evidence({}), 1)).toBeUndefined();
    expect(findLostCapacitance(evidence({}))).toBeUndefined();
  });
});
