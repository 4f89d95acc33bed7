import { describe, expect, it } from "vitest";
import type { Curve } from "../../src/measure/types.js";
import { rankPaths } from "../../src/rank/rank.js";
import { formatFinding } from "../../src/report/findings/format-finding.js";
import { createRng, uniform } from "../../src/simulate/rng.js";
import { family, measurement, reading, response } from "../helpers/families.js";
import { gaussian } from "../helpers/noise.js";

const serious = (p: { findings: readonly { severity: string }[] }) =>
  p.findings.some((f) => f.severity !== "remark");

describe("rankPaths", () => {
  it("raises no alarm among identical siblings, nor among near-identical ones", () => {
    const same = family(Array.from({ length: 24 }, () => measurement({ gain: reading(0) })));
    expect(rankPaths(same).every((p) => p.findings.length === 0 && p.oddness === 0)).toBe(true);
    const near = family(
      Array.from({ length: 24 }, (_, i) =>
        measurement({ gain: reading(i === 5 ? 0.02 : 1e-6 * i, "dB", 0.001) }),
      ),
    );
    expect(rankPaths(near).some((p) => p.findings.length > 0)).toBe(false);
  });

  it("puts the one that is off first and says by how much", () => {
    const paths = family(
      Array.from({ length: 24 }, (_, i) =>
        measurement({ noiseA: reading(-105 + 0.3 * Math.sin(i) + (i === 6 ? 9 : 0), "dBFS", 0.1) }),
      ),
    );
    const seventh = rankPaths(paths)[6];
    expect(seventh.rank).toBe(1);
    expect(seventh.findings[0].severity).toBe("service");
    expect(formatFinding(seventh.findings[0])).toMatch(
      /^noise \(A-weighted\) (8\.9|9\.0|9\.1|9\.2) dB above its siblings$/,
    );
    expect(seventh.findings[0].deviation).toBeCloseTo(9, 0);
  });

  it("keeps its head when two in five of a family are faulty", () => {
    const next = gaussian(3);
    const paths = family(
      Array.from({ length: 20 }, (_, i) =>
        measurement({ gain: reading(0.15 * next() - (i < 8 ? 6 : 0)) }),
      ),
    );
    const ranked = rankPaths(paths);
    expect(ranked.map(serious)).toStrictEqual(Array.from({ length: 20 }, (_, i) => i < 8));
  });

  it("respects the direction of harm: a quieter path is a remark", () => {
    const paths = family(
      Array.from({ length: 12 }, (_, i) =>
        measurement({ noise: reading(i === 3 ? -120 : -100 + 0.1 * i, "dBFS", 0.1) }),
      ),
    );
    const quiet = rankPaths(paths)[3];
    expect(quiet.findings.map((f) => f.severity)).toStrictEqual(["remark"]);
    expect(quiet.oddness).toBe(0);
  });

  it("does not accuse a path of a figure that noise set", () => {
    const paths = family(
      Array.from({ length: 12 }, (_, i) =>
        measurement({
          thd: i === 3 ? { ...reading(-60), limitedBy: "noise" as const } : reading(-90 + 0.2 * i),
        }),
      ),
    );
    expect(rankPaths(paths)[3].findings).toStrictEqual([]);
  });

  it("makes more than a remark of an outlier of 10 dB among four that scatter by half a decibel", () => {
    // G. K. Smyth (2004): a prior worth five degrees of freedom on top of the siblings' own
    const four = [-0.4, 0.1, 0.5, 10].map((db) =>
      measurement({ gain: reading(db), hiss: reading(-100 + db, "dBFS", 0.1) }),
    );
    const ranked = rankPaths(family(four));
    expect(ranked.map(({ rank }) => rank).indexOf(1)).toBe(3);
    expect(ranked[3].findings.map(({ severity }) => severity)).not.toContain("remark");
    expect(ranked.slice(0, 3).filter(serious)).toStrictEqual([]);
  });

  it("compares noise spectra and distortion against frequency as curves, where no reading tells", () => {
    const bands = Array.from({ length: 30 }, (_, k) => 25 * 2 ** (k / 3));
    const curve = (y: (hz: number, i: number) => number): Curve => ({
      x: bands,
      y: bands.map(y),
      uncertainty: bands.map(() => 0.4),
      xUnit: "Hz",
      yUnit: "dBFS",
    });
    const healthyCurve = (n: number) => curve((_, i) => -120 + 0.3 * ((n + i) % 3));
    const rumble = curve((hz) => -120 + (hz < 130 ? 14 : 0));
    const line = curve((hz) => -120 + (Math.abs(hz - 50) < 5 ? 14 : 0));
    const paths = Array.from({ length: 12 }, (_, n) => {
      const noise = n === 4 ? rumble : n === 7 ? line : healthyCurve(n);
      const distortion = n === 9 ? { ...rumble, yUnit: "dB" } : { ...healthyCurve(n), yUnit: "dB" };
      return measurement({ noiseA: reading(-105, "dBFS", 0.1) }, { noise, distortion });
    });
    const ranked = rankPaths(family(paths));
    expect(ranked[4].findings).toMatchObject([
      { reading: "noiseCurve", severity: "service", deviation: expect.closeTo(13.7, 0) },
    ]);
    expect(formatFinding(ranked[4].findings[0])).toMatch(
      /^noise spectrum 14 dB above its siblings at/,
    );
    expect(ranked[7].findings).toStrictEqual([]);
    expect(ranked[9].findings[0]).toMatchObject({ reading: "distortionCurve" });
    expect(ranked.filter(serious)).toHaveLength(2);
  });

  it("leaves a family of one unjudged", () => {
    const [one] = rankPaths(family([measurement({ gain: reading(-30) })]));
    expect(one.findings).toStrictEqual([]);
  });

  it("reports two that differ the one with the side of harm, and only where they differ by far", () => {
    const [sound, lower] = rankPaths(
      family([measurement({ gain: reading(0) }), measurement({ gain: reading(-6) })]),
    );
    expect(lower.findings).toMatchObject([{ reading: "gain", severity: "watch" }]);
    expect(formatFinding(lower.findings[0])).toBe("gain 6.0 dB below its only sibling");
    expect(sound.findings).toMatchObject([{ reading: "gain", severity: "remark" }]);
    expect([lower.rank, sound.rank]).toStrictEqual([1, 2]);
    const [noisy] = rankPaths(
      family([-85, -105].map((level) => measurement({ hiss: reading(level, "dBFS", 0.1) }))),
    );
    expect(noisy.findings).toMatchObject([{ reading: "hiss", severity: "watch" }]);
    const near = family([0, -1.5].map((level) => measurement({ gain: reading(level) })));
    expect(rankPaths(near).flatMap(({ findings }) => findings)).toStrictEqual([]);
  });

  it("reports two a mere difference as a remark on both", () => {
    const opposite = family([1, -1].map((v) => measurement({ polarity: reading(v, "", 0) })));
    for (const { findings } of rankPaths(opposite)) {
      expect(findings).toMatchObject([{ reading: "polarity", severity: "remark" }]);
    }
  });

  it("widens what it grants a small family whose readings all scatter more than assumed", () => {
    // Four paths with the scatter of two practical floors in each of seven readings: less than one
    // in two hundred may be called for service (Student's t; the seed is this test's own).
    const least = { gain: 0.7, hiss: 2, noiseA: 2, thd: 3, thd100: 3, thdHot: 3, linearity: 0.2 };
    const rng = createRng("wide family");
    const gauss = () =>
      Math.sqrt(-2 * Math.log(uniform(rng) + 1e-12)) * Math.cos(2 * Math.PI * uniform(rng));
    const wide = () =>
      measurement(
        Object.fromEntries(
          Object.entries(least).map(([id, floor]) => [id, reading(2 * floor * gauss())]),
        ),
      );
    const flagged = Array.from({ length: 150 }, () => {
      const ranked = rankPaths(family(Array.from({ length: 4 }, wide)));
      return ranked.filter((p) => p.findings.some((f) => f.severity === "service")).length;
    }).reduce((sum, count) => sum + count, 0);
    expect(flagged / (150 * 4)).toBeLessThanOrEqual(0.005);
  });

  it("finds a dead path among three, however much the family scatters", () => {
    const first = (...gains: number[]) =>
      rankPaths(family(gains.map((gain) => measurement({ gain: reading(gain) }))))[0].findings;
    expect(first(-60, 0.6, -0.5)).toMatchObject([{ reading: "gain", severity: "service" }]);
    expect(first(-60, 1.5, -1.2)).toMatchObject([{ reading: "gain", severity: "watch" }]);
  });

  it("judges a family of three where the difference dwarfs what any healthy family shows", () => {
    const three = family([-20, 0.1, -0.1].map((v) => measurement({ gain: reading(v) })));
    const ranked = rankPaths(three);
    expect(ranked[0].rank).toBe(1);
  });

  it("compares responses as curves and says where", () => {
    const paths = family(
      Array.from({ length: 16 }, (_, i) => {
        const corner = i === 9 ? 60 : 3 + 0.1 * i;
        return measurement(
          {},
          {
            response: response((hz) => -10 * Math.log10(1 + (corner / hz) ** 2)),
          },
        );
      }),
    );
    const ranked = rankPaths(paths);
    expect(ranked[9].rank).toBe(1);
    expect(ranked[9].findings[0]).toMatchObject({ reading: "response", severity: "service" });
    expect(formatFinding(ranked[9].findings[0])).toMatch(
      /^response 9\.\d dB below its siblings at 20 Hz$/,
    );
    expect(ranked.filter(serious)).toHaveLength(1);
  });

  it("finds the minority of polarity, and none where the vote is even", () => {
    const polarity = (signs: number[]) =>
      rankPaths(family(signs.map((s) => measurement({ polarity: reading(s, "", 0) }))));
    expect(formatFinding(polarity([1, 1, -1, 1])[2].findings[0])).toMatch(/inverted/);
    expect(polarity([1, 1, -1, -1]).some((p) => p.findings.length > 0)).toBe(false);
  });

  it("ranks a path first whose capture holds nothing", () => {
    const paths = family(Array.from({ length: 6 }, () => measurement({ gain: reading(0) })));
    const ranked = rankPaths([
      ...paths,
      { path: "7/mic", family: "mic", unheard: { code: "digital-silence" } as const },
      { path: "8/mic", family: "mic" },
    ]);
    expect(ranked[6].rank).toBe(1);
    expect(ranked[6].findings[0].severity).toBe("service");
    expect(ranked[7].rank).toBeUndefined();
  });

  it("compares a reading only among the paths that have it", () => {
    const half = family(
      Array.from({ length: 12 }, (_, i) =>
        measurement(
          i % 2 === 0
            ? { gain: reading(0), thd: reading(-80 + (i === 4 ? 30 : 0)) }
            : { gain: reading(0) },
        ),
      ),
    );
    const ranked = rankPaths(half);
    expect(ranked.filter(serious).map((p) => p.path)).toStrictEqual(["5/mic"]);
  });

  it("calls fewer than one healthy path in two hundred to attention, whatever the scatter", () => {
    // simulation: Gaussian families of 24 with scatter far above every practical floor
    const next = gaussian(21);
    let called = 0;
    let serviced = 0;
    let total = 0;
    for (let round = 0; round < 60; round++) {
      const paths = family(
        Array.from({ length: 24 }, () =>
          measurement({
            gain: reading(5 * next()),
            noise: reading(20 * next(), "dBFS"),
            noiseA: reading(20 * next(), "dBFS"),
            hum: reading(30 * next(), "dBFS"),
            thd: reading(40 * next()),
            thdN: reading(30 * next()),
            thd100: reading(40 * next()),
            thdHot: reading(40 * next()),
            compression: reading(5 * next()),
          }),
        ),
      );
      for (const p of rankPaths(paths)) {
        total++;
        if (serious(p)) called++;
        if (p.findings.some((f) => f.severity === "service")) serviced++;
      }
    }
    expect(called / total).toBeLessThan(0.005);
    expect(serviced / total).toBeLessThan(0.002);
  });
});
