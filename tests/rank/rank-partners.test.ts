import { describe, expect, it } from "vitest";
import { findReadingKind } from "../../src/measure/reading-kinds.js";
import type { Measurement, Reading } from "../../src/measure/types.js";
import type { PathToRank } from "../../src/rank/family-stats.js";
import { alignSides } from "../../src/rank/partner-path.js";
import { computeDeviation, rankPaths } from "../../src/rank/rank.js";
import { rankPartners } from "../../src/rank/rank-partners.js";
import { formatFinding } from "../../src/report/findings/format-finding.js";
import { measurement, reading } from "../helpers/families.js";

function stereo(left: Record<string, Reading>, right: Record<string, Reading>): Measurement {
  return {
    ...measurement({ noise: reading(-90, "dBu"), balance: reading(0), ...left }),
    partner: {
      side: "right",
      readings: { noise: reading(-90, "dBu"), ...right },
      absent: {},
      curves: {},
    },
  };
}

function desk(odd: Measurement): readonly PathToRank[] {
  return Array.from({ length: 8 }, (_, i) => ({
    path: `${i + 1}/line`,
    family: "line",
    measurement: i === 2 ? odd : stereo({}, {}),
  }));
}

describe("a stereo bus", () => {
  it("is ranked as ever where nothing stands out", () => {
    const paths = desk(stereo({}, {}));
    for (const one of rankPartners(paths)) expect(one).toMatchObject({ oddness: 0, findings: [] });
  });

  it("speaks through its odder side, which the words name", () => {
    const ranked = rankPartners(desk(stereo({}, { noise: reading(-70, "dBu") })))[2];
    expect(ranked.rank).toBe(1);
    expect(formatFinding(ranked.findings[0])).toBe("noise 20 dB above its siblings (right side)");
    expect(ranked.spoken.family).toBe("line (right side)");
    const left = rankPartners(desk(stereo({ noise: reading(-70, "dBu") }, {})))[2];
    expect(formatFinding(left.findings[0])).toBe("noise 20 dB above its siblings");
    expect(left.spoken.family).toBe("line");
  });

  it("keeps the balance among the findings whichever side speaks", () => {
    const both = stereo({ balance: reading(6) }, { noise: reading(-60, "dBu") });
    const readings = rankPartners(desk(both))[2].findings.map((f) => f.reading);
    expect(readings).toStrictEqual(["noise", "balance"]);
    // The noise is the louder side's, and told once.
    const twice = stereo({ balance: reading(6), noise: reading(-75) }, { noise: reading(-60) });
    const told = rankPartners(desk(twice))[2].findings;
    expect(told.map(({ reading: id, side }) => [id, side])).toStrictEqual([
      ["noise", "right"],
      ["balance", undefined],
    ]);
  });

  it("with one side silent is a path from which nothing came back", () => {
    const bound: Reading = { ...reading(90), uncertainty: 6, bound: "lower", limitedBy: "noise" };
    const ranked = rankPartners(desk(stereo({ balance: bound }, {})))[2];
    expect(ranked.spoken.unheard).toStrictEqual({ code: "side-silent", side: "right" });
    expect(formatFinding(ranked.findings[0])).toMatch(
      /^nothing of the signal came back \(the right side/,
    );
    expect(ranked.findings.map((f) => f.reading)).toContain("balance");
  });

  it("ranks paths recorded on one channel as rankPaths does", () => {
    const paths = Array.from({ length: 8 }, (_, i) => ({
      path: `${i + 1}/line`,
      family: "line",
      measurement: measurement({ noise: reading(-90 + (i === 4 ? 12 : 0.1 * i), "dBFS") }),
    }));
    const alone = rankPaths(paths);
    rankPartners(paths).forEach((one, i) => {
      expect(one).toMatchObject(alone[i]);
    });
  });
});

describe("the deviation of a reading", () => {
  const kind = findReadingKind("balance");
  if (!kind) throw new Error("no balance");
  const usual = {
    count: 8,
    readings: { balance: { count: 8, median: 0, scale: 0.1 } },
    curves: {},
    excess: 1,
  };

  it("is held beside a single sibling against what two healthy paths differ by", () => {
    const noise = findReadingKind("noise");
    if (!noise) throw new Error("no noise");
    const one = { ...usual, count: 1, readings: { noise: { count: 1, median: 0, scale: 0 } } };
    const found = computeDeviation(noise, { ...reading(5), uncertainty: 0 }, one);
    // Granted a quarter of 2 dB; two with twice that each differ by √2·1 dB: √(2 + ¼) = 1.5 in all.
    expect(found?.score).toBeCloseTo(5 / 1.5, 12);
  });

  it("is judged by the doubt that siblings do not share", () => {
    const sharp = computeDeviation(kind, { ...reading(2), uncertainty: 0.01 }, usual);
    const shared = computeDeviation(kind, { ...reading(2), uncertainty: 1, common: 1 }, usual);
    const own = computeDeviation(kind, { ...reading(2), uncertainty: 1 }, usual);
    expect(shared?.score).toBeCloseTo(sharp?.score ?? 0, 2);
    expect(own?.score ?? 0).toBeLessThan(sharp?.score ?? 0);
  });

  it("of a bound counts only where the bound itself lies on the wrong side", () => {
    expect(computeDeviation(kind, { ...reading(9), bound: "upper" }, usual)).toBeUndefined();
    expect(computeDeviation(kind, { ...reading(9), bound: "lower" }, usual)).toBeDefined();
    expect(computeDeviation(kind, { ...reading(-9), bound: "upper" }, usual)).toBeDefined();
    expect(computeDeviation(kind, { ...reading(-9), bound: "lower" }, usual)).toBeUndefined();
  });
});

describe("the phase between sides of which one is inverted", () => {
  it("is alike at 179.9° and at −179.9°", () => {
    const phase = (degrees: number) =>
      stereo({ stereoPhase: { value: degrees, unit: "°", uncertainty: 0.1 } }, {});
    const paths = desk(phase(-179.9)).map((one, i) =>
      i === 2 ? one : { ...one, measurement: phase(i % 2 === 0 ? 179.9 : 179.8) },
    );
    for (const one of rankPartners(paths)) expect(one).toMatchObject({ oddness: 0, findings: [] });
  });

  it("tells which side of a path it is that stands out", () => {
    const ranked = rankPartners(desk(stereo({}, { noise: reading(-70, "dBu") })))[2];
    expect(ranked.findings[0]).toMatchObject({ reading: "noise", side: "right" });
  });
});

describe("a path of which the left side hardly comes through", () => {
  it("has its sides compared with the same sides of its siblings", () => {
    // recorded as the others, but the right side was found first: the left one is its second
    const odd: Measurement = {
      // Of a reading that no version of today makes nothing is known of both sides.
      ...measurement({ gain: reading(0), balance: reading(-75), bygone: reading(1) }),
      partner: {
        side: "left",
        readings: { gain: reading(-75) },
        absent: {},
        curves: {},
      },
    };
    const sound = stereo({ gain: reading(0) }, { gain: reading(0) });
    const paths = desk(odd).map((one, i) => (i === 2 ? one : { ...one, measurement: sound }));
    const [first] = alignSides(paths).slice(2, 3);
    expect(first.measurement?.readings.gain.value).toBe(-75);
    expect(first.measurement?.readings.balance.value).toBe(-75);
    expect(first.measurement?.partner).toMatchObject({
      side: "right",
      readings: { gain: { value: 0 }, bygone: { value: 1 } },
    });
    const ranked = rankPartners(alignSides(paths))[2];
    expect(ranked.findings.map((one) => one.reading)).toContain("gain");
  });
});
