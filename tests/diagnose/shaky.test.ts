import { describe, expect, it } from "vitest";
import { diagnosePath } from "../../src/diagnose/diagnose.js";
import { buildPathEvidence, findLevelJumps } from "../../src/diagnose/path-evidence.js";
import { fitFallingShelf } from "../../src/diagnose/shapes.js";
import type { Measurement } from "../../src/measure/types.js";
import { computeFamilyStats, groupFamilies } from "../../src/rank/family-stats.js";
import { rankPaths } from "../../src/rank/rank.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { family, measurement, reading, response } from "../helpers/families.js";

// Expected values: closed forms of the circuits named in each test.

const readings = {
  gain: reading(0),
  hiss: reading(-105, "dBFS", 0.1),
  noise: reading(-105, "dBFS", 0.1),
  humOdd: reading(-115, "dBFS", 1),
  thd: reading(-90),
  thd100: reading(-90),
  thdHot: reading(-80),
  imd: reading(-92),
  linearity: reading(0),
  instability: reading(0.01),
  noiseSlope: reading(0, "dB/octave", 0.2),
};
const highPass = (corner: number) => (hz: number) => -10 * Math.log10(1 + (corner / hz) ** 2);
const flat = response(highPass(3));
const healthy = measurement(readings, { response: flat });
const odd = (changes: Partial<typeof readings>, curve = flat) =>
  measurement({ ...readings, ...changes }, { response: curve });

function causesOf(path: Measurement, inputDbu = 4) {
  const inputs = family([path, ...Array.from({ length: 11 }, () => healthy)]);
  const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
  return diagnosePath(inputs[0], rankPaths(inputs)[0], { usual, inputDbu }).map((c) => c.cause);
}

/** The level jumps to and fro by 1 dB while the sweep passes. */
const jumpy = response((hz) => highPass(3)(hz) - (Math.floor(2 * Math.log2(hz)) % 2));

describe("levelJumps", () => {
  const jumpsOf = (curve: ReturnType<typeof response>) => {
    const inputs = family([odd({}, curve), ...Array.from({ length: 11 }, () => healthy)]);
    const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
    return findLevelJumps(buildPathEvidence(inputs[0], [], { usual }));
  };

  it("sees a level that jumps, and no filter however steep", () => {
    expect(jumpsOf(jumpy)).toBeCloseTo(1, 1);
    expect(jumpsOf(response((hz) => -10 * Math.log10(1 + (120 / hz) ** 6)))).toBeUndefined();
    // A bell of 9 dB, Q 1.4: 20·log10 |(1 − x² + j·g·x/Q) / (1 − x² + j·x/Q)|
    const g = 10 ** (9 / 20);
    const bell = (hz: number) => {
      const x = hz / 2500;
      const open = (1 - x * x) ** 2;
      return 10 * Math.log10((open + ((g * x) / 1.4) ** 2) / (open + (x / 1.4) ** 2));
    };
    expect(jumpsOf(response(bell))).toBeUndefined();
  });
});

describe("diagnosePath on levels that do not hold still", () => {
  it("tells crackle (low in frequency, nothing near 20 kHz) from a film (distortion at all frequencies)", () => {
    const crackle = {
      hiss: reading(-75, "dBFS", 0.1),
      noise: reading(-70, "dBFS", 0.1),
      noiseSlope: reading(-6, "dB/octave", 0.2),
      instability: reading(0.4),
    };
    expect(causesOf(odd(crackle, jumpy))[0]).toBe("worn-gain-control");
    const film = {
      thd: reading(-55),
      thd100: reading(-55),
      thdHot: reading(-73),
      imd: reading(-52),
      linearity: reading(-8),
      instability: reading(0.2),
    };
    expect(causesOf(odd(film, jumpy))[0]).toBe("dirty-contact");
  });

  it("takes distortion that falls with level, the level holding still, for a gap in an output stage", () => {
    const gap = {
      thd: reading(-55),
      thd100: reading(-55),
      thdHot: reading(-73),
      imd: reading(-52),
    };
    expect(causesOf(odd(gap))[0]).toBe("crossover-distortion");
  });

  it("takes noise and distortion that worsen together, lines of the mains apart, for an oscillation", () => {
    const sick = {
      hiss: reading(-95, "dBFS", 0.1),
      noise: reading(-95, "dBFS", 0.1),
      thd: reading(-50),
      thd100: reading(-50),
      thdHot: reading(-55),
      imd: reading(-52),
    };
    expect(causesOf(odd(sick))[0]).toBe("oscillation");
  });
});

describe("diagnosePath on a stage of little gain", () => {
  // 1 + Rf/(Rg + 1/jωC): a pole, and a zero lower than that by the gain.
  const legOf = (poleHz: number, gain: number) => (hz: number) =>
    -10 * Math.log10((1 + (poleHz / hz) ** 2) / (1 + (poleHz / gain / hz) ** 2));
  const upright = legOf(100, 3);

  it("finds depth and corner of the shelf that a dried capacitor in its leg leaves", () => {
    const { x, y } = response(upright);
    const fit = fitFallingShelf({ x, y });
    expect(fit.db).toBeCloseTo(-20 * Math.log10(3), 0);
    expect(fit.restDb).toBeLessThan(0.1);
  });

  it("tells that shelf from an equaliser's by the distortion that only an electrolytic adds", () => {
    const bent = odd(
      { thd100: reading(-65) },
      response((hz) => highPass(3)(hz) + upright(hz)),
    );
    expect(causesOf(bent)[0]).toBe("dried-gain-leg-capacitor");
    const clean = odd(
      {},
      response((hz) => highPass(3)(hz) + upright(hz)),
    );
    expect(causesOf(clean)[0]).toBe("equaliser-left-in");
  });

  it("takes a clean shelf whose middle lies lower than equalisers' do for a capacitor's", () => {
    // A pole at 45 Hz, a gain of 2: the middle at 45/√2 = 32 Hz.
    const low = odd(
      {},
      response((hz) => highPass(3)(hz) + legOf(45, 2)(hz)),
    );
    // Down there the one is hardly told from a coupling capacitor's fall.
    expect(causesOf(low)[0]).toMatch(/^dried-.*-capacitor$/);
  });
});

describe("a level that trembles", () => {
  // No gap between the halves of an output stage moves the level; an oxide film does.
  it("is a contact's, however little it moves, and no output stage's", () => {
    const still = { ...readings, instability: reading(0.001, "dB", 0.0002) };
    const siblings = Array.from({ length: 11 }, () => measurement(still, { response: flat }));
    const first = (instability: number) => {
      const ill = { thd: reading(-77), thd100: reading(-77), imd: reading(-77) };
      const trembling = { instability: reading(instability, "dB", 0.0002) };
      const path = measurement({ ...still, ...ill, ...trembling }, { response: flat });
      const inputs = family([path, ...siblings]);
      const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
      return diagnosePath(inputs[0], rankPaths(inputs)[0], { usual, inputDbu: 4 })[0].cause;
    };
    expect(first(0.03)).toBe("dirty-contact");
    expect(first(0.001)).toBe("crossover-distortion");
  });
});

describe("diagnosePath on a path that is better than its siblings", () => {
  const line = measurement(
    {
      ...readings,
      hiss: reading(-116, "dBFS", 0.1),
      noise: reading(-116, "dBFS", 0.1),
      thd: reading(-97),
      imd: reading(-99),
    },
    { response: flat },
  );
  const mics = [line, ...Array.from({ length: 11 }, () => healthy)];
  const lines = family(
    Array.from({ length: 12 }, () => line),
    "line",
  );

  it("names another input's recording where all is as that input's siblings have it", () => {
    const inputs = [...family(mics), ...lines];
    const usual = (name: string) => computeFamilyStats(groupFamilies(inputs).get(name) ?? []);
    const [mic, other] = [usual("mic"), usual("line")];
    const others = other ? [{ name: "line", usual: other }] : [];
    const around = { usual: mic, others };
    const causes = diagnosePath(inputs[0], rankPaths(inputs)[0], around);
    expect(causes[0]).toMatchObject({ cause: "wrong-path-recorded", kind: "patch" });
    expect(causes[0].evidence.map(formatEvidence)[0]).toBe(
      "everything measured matches the usual values of line",
    );
    expect(diagnosePath(inputs[1], rankPaths(inputs)[1], around)).toEqual([]);
  });

  it("leaves a quiet path alone where no other family is like it", () => {
    const inputs = family(mics);
    const usual = computeFamilyStats(groupFamilies(inputs).get("mic") ?? []);
    expect(diagnosePath(inputs[0], rankPaths(inputs)[0], { usual, others: [] })).toEqual([]);
  });
});
