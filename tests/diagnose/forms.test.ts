import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { fitLevelBreak, fitSlewLimit } from "../../src/diagnose/shapes.js";
import type { LevelStep, Measurement } from "../../src/measure/types.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { family, measurement, reading, response } from "../helpers/families.js";

// Expected: circuit theory, worked out beside each case.

const sound = {
  gain: reading(0, "dB", 0.02),
  hiss: reading(-100, "dBFS", 0.1),
  noise: reading(-99.9, "dBFS", 0.1),
  humOdd: reading(-112, "dBFS", 1),
  humEven: reading(-120, "dBFS", 1),
  hum: reading(-111, "dBFS", 1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  imd: reading(-92),
  polarity: reading(1, "", 0),
  instability: { ...reading(0.002), bound: "upper" as const },
};
const healthy = measurement(sound, { response: response(() => 0) });

function causesOf(odd: Measurement) {
  const inputs = family([odd, ...Array.from({ length: 10 }, () => healthy)]);
  const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
  return diagnosePath(inputs[0], rankPaths(inputs)[0], { usual });
}
const namesOf = (odd: Measurement) => causesOf(odd).map(({ cause }) => cause);
const odd = (changes: Partial<typeof sound>, db: (hz: number) => number = () => 0) =>
  measurement({ ...sound, ...changes }, { response: response(db) });

describe("one leg of a balanced input", () => {
  const humming = (db: number) => ({
    humOdd: reading(-112 + db, "dBFS", 1),
    hum: reading(-111 + db, "dBFS", 1),
    noise: reading(10 * Math.log10(10 ** -9.99 + 10 ** ((-111 + db) / 10)), "dBFS", 0.3),
  });

  it.each([
    // Half the voltage where the legs carry half each.
    20 * Math.log10(1 / 2),
    // Four equal resistors with one side open: a quarter.
    20 * Math.log10(1 / 4),
  ])("costs %f dB and hums", (lost) => {
    const [first] = causesOf(odd({ gain: reading(lost, "dB", 0.02), ...humming(25) }));
    expect(first.cause).toBe("open-leg");
  });

  it("costs nothing where the source drives the other: hum alone, and a shield does that too", () => {
    const named = namesOf(odd(humming(30)));
    expect(named[0]).toBe("ground-hum");
  });
});

describe("lost treble", () => {
  const pole = (cornerHz: number) => (hz: number) => -10 * Math.log10(1 + (hz / cornerHz) ** 2);

  it("goes with the level where a resistance stands in series", () => {
    // R into R_load ∥ C: the level falls by R/(R+R_load), the corner to 1/(2π(R∥R_load)C).
    const lost = -9;
    const down = { gain: reading(lost, "dB", 0.02), hiss: reading(-104, "dBFS", 0.2) };
    expect(namesOf(odd({ ...down, noise: reading(-104, "dBFS", 0.2) }, pole(16_000)))[0]).toBe(
      "added-series-resistance",
    );
    expect(namesOf(odd({}, pole(16_000)))[0]).toBe("high-loss");
  });

  it("falls all at once, with two-tone distortion, where a slope is limited", () => {
    // Above 8 kHz the sine is a triangle: its fundamental is (8/π²)·(π/2)·(8 kHz/f) of the sine.
    const limited = (hz: number) =>
      hz <= 8000 * Math.SQRT2 ? 0 : 20 * Math.log10((4 / Math.PI) * (8000 / hz));
    expect(namesOf(odd({ imd: reading(-20) }, limited))[0]).toBe("slewing");
    const { x, y } = response(limited);
    expect(fitSlewLimit({ x, y }).hz / 8000).toBeCloseTo(1, 1);
  });
});

describe("a level that breaks", () => {
  const broken = (hz: number) => (hz > 100 && hz < 260 ? -1.5 : 0);

  it("is a contact's while the sweep passes, and no bell", () => {
    const { x, y } = response(broken);
    const found = fitLevelBreak({ x, y });
    expect(found?.db).toBeCloseTo(-1.5, 2);
    expect((found?.fromHz ?? 0) / 100).toBeCloseTo(1, 0);
    expect(namesOf(odd({}, broken))[0]).toBe("dirty-contact");
  });

  it("is a contact's in the steps, where the middle ones alone are low", () => {
    const steps = [-40, -20, 0, 6, 12, 17].map(
      (aboveNominalDb): LevelStep => ({
        aboveNominalDb,
        gainDb: aboveNominalDb === 0 ? 0 : 1.2,
        uncertainty: 0.005,
      }),
    );
    const linearity = { ...reading(1.2, "dB", 0.01) };
    const bent = measurement(
      { ...sound, linearity, gain: reading(-1.2, "dB", 0.02) },
      { response: response(() => 0) },
    );
    const inputs = family([
      { ...bent, steps },
      ...Array.from({ length: 10 }, () => ({
        ...healthy,
        readings: { ...sound, linearity: reading(0, "dB", 0.01) },
      })),
    ]);
    const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], { usual });
    expect(causes[0].cause).toBe("dirty-contact");
    expect(causes[0].evidence.map(formatEvidence).join(" ")).toContain("−1.2 dB");
  });
});

describe("two causes at once", () => {
  it("are both named, polarity among them", () => {
    const named = namesOf(
      odd({
        polarity: reading(-1, "", 0),
        hiss: reading(-84, "dBFS", 0.1),
        noise: reading(-84, "dBFS", 0.1),
      }),
    );
    expect(named.slice(0, 2).sort()).toEqual(["noisy-device", "polarity-reversed"]);
  });
});

describe("loud sound instead of a return", () => {
  const instead = (levelDbfs: number, crestDb: number, clippedShare: number) => {
    const loud = { levelDbfs, crestDb, clippedShare };
    const path = {
      path: "1/mic",
      family: "mic",
      unheard: { code: "clipped", share: clippedShare } as const,
      loud,
    };
    const [ranked] = rankPaths([path]);
    return diagnosePath(path, ranked, { usual: undefined })[0].cause;
  };

  it("is neither a dead path nor an open input", () => {
    // Crest of a constant 0 dB, of a sine 20·log₁₀√2 = 3.01 dB.
    expect(instead(0, 0, 0)).toBe("stuck-recorder");
    expect(instead(-10, 3.01, 0)).toBe("feedback-howl");
    expect(instead(2, 1, 0.8)).toBe("oscillation");
    expect(instead(-18, 14, 0)).toBe("wrong-file");
  });
});
