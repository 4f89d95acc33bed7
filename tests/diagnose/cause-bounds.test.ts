import { describe, expect, it } from "vitest";
import { isPredicted, predictHumMixing } from "../../src/diagnose/cause-kind.js";
import { findCause } from "../../src/diagnose/causes.js";
import { predictCombMixing } from "../../src/diagnose/mains-comb.js";
import type { Feature, PathEvidence } from "../../src/diagnose/path-evidence.js";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { measurement, reading } from "../helpers/families.js";
import { type Deviations, evidence, feature, predict } from "../helpers/path-evidence.js";

// Bounds are those that the comments of the causes give, as common practice or from the circuit; each
// is tried at it and just beside it. Shapes are the closed forms of circuit theory.

const x = buildOctaveGrid(24, 20, 20_000);
const lg = (ratio: number) => 10 * Math.log10(ratio);
const curve = (db: (hz: number) => number, at: readonly number[] = x, spread = 0.2) => ({
  x: at,
  y: at.map((hz) => db(hz) - db(1000)),
  spread: at.map(() => spread),
  uncertainty: at.map(() => 0),
});
const highPass = (cornerHz: number) => (hz: number) => -lg(1 + (cornerHz / hz) ** 2);
const bell = (middleHz: number, q: number, db: number) => (hz: number) => {
  const x2 = (hz / middleHz) ** 2;
  const across = x2 / q ** 2;
  return (
    Math.sign(db) *
    lg(((1 - x2) ** 2 + 10 ** (Math.abs(db) / 10) * across) / ((1 - x2) ** 2 + across))
  );
};
const dbfs = (value: number) => reading(value, "dBFS", 0.1);
const features = (own: Readonly<Partial<Record<ReadingId, Feature>>>) => ({
  features: new Map(Object.entries(own)) as ReadonlyMap<ReadingId, Feature>,
});
/** Mains hum is nearly all of the noise. */
const mostlyHum = measurement({ hum: dbfs(-80), noise: dbfs(-79.9) });
/** It hardly stands out of siblings that scatter by 12 dB. */
const scattered = (db: number) => feature(db, 12);
const moves = (id: string, deviations: Deviations, more: Partial<PathEvidence> = {}) =>
  predict(id, evidence(deviations, more))?.moves;
const codes = (id: string, deviations: Deviations, more: Partial<PathEvidence> = {}) =>
  predict(id, evidence(deviations, more))?.evidence.map((one) =>
    one.code === "of-cause" ? one.seen : one.code,
  );
const say = (id: string, code: string, figures: Readonly<Record<string, number>>) => {
  const kind = findCause(id);
  if (kind === undefined || !isPredicted(kind)) throw new Error(id);
  const word = kind.says?.[code] as ((own: typeof figures) => string) | undefined;
  return word?.(figures) ?? "";
};

/** Lines of every other multiple of 50 Hz, 20 dB above what siblings have. */
const combOf = (lines: "odd" | "even") => {
  const at = Array.from({ length: 40 }, (_, i) => 50 * (i + 1));
  const humLines = {
    x: at,
    y: at.map((_, i) => ((i % 2 === 0) === (lines === "odd") ? -110 : -130)),
    uncertainty: at.map(() => 0.2),
    floor: at.map(() => -140),
    xUnit: "Hz" as const,
    yUnit: "dBFS" as const,
  };
  const points = at.map(() => ({ count: 9, median: -130, scale: 1 }));
  return {
    measurement: measurement({}, { humLines }),
    usual: { readings: {}, curves: { humLines: { x: at, points } } } as unknown as FamilyStats,
  };
};

describe("hum of the earth", () => {
  const noisy = (odd: number, more: Readonly<Partial<Record<ReadingId, Feature>>> = {}) =>
    predict(
      "ground-hum",
      evidence(
        {},
        {
          ...features({ humOdd: scattered(odd), noise: feature(28), ...more }),
          measurement: mostlyHum,
        },
      ),
    );

  it("is up by 1.5 dB at least, unless a comb of lines shows it", () => {
    expect([1.4, 1.5].map((db) => noisy(db) !== undefined)).toEqual([false, true]);
    const comb = evidence({ humOdd: 1.4 }, combOf("odd"));
    expect(predict("ground-hum", comb)).toBeDefined();
    expect(predict("ground-hum", evidence({ humOdd: 1.4 }, combOf("even")))).toBeUndefined();
  });

  it("must have lifted the noise where that alone shows it", () => {
    expect(noisy(30)?.moves.noise).toEqual([1, 80]);
    expect(noisy(30, { humOdd: feature(30) })?.moves.noise).toEqual([-1, 80]);
    expect(moves("ground-hum", { humOdd: 30 })?.noise).toEqual([-1, 80]);
  });

  it("has a sign in weighted noise only where its own reading does not show it", () => {
    const weighted = { noise: feature(0), noiseA: feature(12) };
    expect(noisy(30, weighted)?.sign).toBe(4);
    expect(noisy(30, weighted)?.moves.noise).toEqual([-1, 80]);
    expect(noisy(30, { ...weighted, humOdd: feature(30) })?.sign).toBeUndefined();
    expect(noisy(30)?.sign).toBeUndefined();
    expect(predict("ground-hum", evidence({ humOdd: 30 }))?.sign).toBeUndefined();
  });

  it("reaches other readings from 20 dB on, by odd lines or by even ones", () => {
    const mixed = (deviations: Deviations) => moves("ground-hum", deviations)?.thd;
    const { thd } = predictHumMixing();
    expect([mixed({ humOdd: 20 }), mixed({ humOdd: 20.1 })]).toEqual([undefined, thd]);
    expect([20, 20.1].map((humEven) => mixed({ humOdd: 10, humEven }))).toEqual([undefined, thd]);
  });

  it("of short pulses need not lift the sum of the lines, and comes in bursts", () => {
    const found = predict("ground-hum", evidence({ humOdd: 1.4 }, combOf("odd")));
    expect(found?.moves.humOdd).toEqual([-1, 70]);
    expect(found?.moves.burstiness).toEqual(predictCombMixing().burstiness);
    expect(found?.sign).toBe(6);
    const plain = moves("ground-hum", { humOdd: 15 });
    expect(plain?.humOdd).toEqual([1, 70]);
    expect(plain).not.toHaveProperty("burstiness");
  });

  it("names even lines that are up at all", () => {
    const words = (evenDb: number) => say("ground-hum", "odd-lines", { oddDb: 9, evenDb });
    expect([0, 0.1].map((db) => words(db).endsWith("even ones like its siblings'"))).toEqual([
      true,
      false,
    ]);
  });
});

describe("ripple of the supply", () => {
  it("reaches other readings from 20 dB on, by odd lines or by even ones", () => {
    const thd100 = (deviations: Deviations) => moves("supply-ripple", deviations)?.thd100;
    const { thd100: own } = predictHumMixing();
    expect(own).toBeDefined();
    expect([20, 20.1].map((humEven) => thd100({ humEven }))).toEqual([undefined, own]);
    expect([20, 20.1].map((humOdd) => thd100({ humEven: 10, humOdd }))).toEqual([undefined, own]);
  });

  it("of short pulses comes in bursts", () => {
    const found = predict("supply-ripple", evidence({ humEven: 1 }, combOf("even")));
    expect(found?.moves.burstiness).toEqual(predictCombMixing().burstiness);
    expect(found?.sign).toBe(6);
    expect(moves("supply-ripple", { humEven: 15 })).not.toHaveProperty("burstiness");
  });

  it("names odd lines that are up by more than 1 dB", () => {
    const words = (oddDb: number) => say("supply-ripple", "even-lines", { evenDb: 9, oddDb });
    expect([1, 1.1].map((db) => words(db).endsWith("odd ones like its siblings'"))).toEqual([
      true,
      false,
    ]);
    expect(words(4)).toContain("odd ones +4.0 dB");
  });
});

describe("an open leg", () => {
  it("leaves the noise to what hum there may be", () => {
    const noise = (deviations: Deviations, more = {}) =>
      moves("open-leg", { gain: -6, ...deviations }, more)?.noise;
    // Heard; not read, as much as a cable cancels otherwise; up by no more than hiss, and by more.
    expect(noise({ humOdd: 9 })).toEqual([1, 90]);
    expect(noise({})).toEqual([-3, 90]);
    expect(noise({ humOdd: 1 })).toEqual([-3, 12]);
    const wide = (db: number) => noise({}, features({ gain: feature(-6), humOdd: scattered(db) }));
    expect([wide(12), wide(12.1)]).toEqual([
      [-3, 12],
      [-3, 90],
    ]);
    const quarter = (db: number) =>
      noise({}, features({ gain: feature(-12), humOdd: scattered(db) }));
    expect([quarter(2), quarter(2.1)]).toEqual([
      [-3, 2],
      [-3, 90],
    ]);
  });

  it("lets even lines rise as far as a cable has them, 80 dB at most", () => {
    const even = (deviations: Deviations) =>
      moves("open-leg", { gain: -6, ...deviations })?.humEven;
    expect(even({})).toEqual([-3, 80]);
    expect(even({ humOdd: 12 })).toEqual([-3, 22]);
    expect(even({ humOdd: 75 })).toEqual([-3, 80]);
  });

  it("reaches other readings by hum of more than 20 dB", () => {
    const thd = (humOdd: number) => moves("open-leg", { gain: -6, humOdd })?.thd;
    // 6 dB less level: twice that less distortion of third order, and 3 dB of chance.
    expect([thd(20), thd(20.1)]).toEqual([[-15, 3], predictHumMixing().thd]);
  });

  it("shows hum only where it stands out", () => {
    expect(codes("open-leg", { gain: -6, humOdd: 1 })).toEqual(["level-lost"]);
    expect(codes("open-leg", { gain: -6, humOdd: 4 })).toEqual(["level-lost", "hums"]);
  });
});

describe("treble below that of siblings that agree", () => {
  // 24 points to the octave, 10 and 20 kHz among them.
  const grid = Array.from({ length: 240 }, (_, k) => 10_000 * 2 ** ((k - 215) / 24));
  const of = (
    y: (hz: number) => number,
    { siblings = 0, upTo = 20_000 }: { readonly siblings?: number; readonly upTo?: number } = {},
  ) => {
    const at = grid.filter((hz) => hz <= upTo);
    const response = {
      x: at,
      y: at.map(y),
      spread: at.map(() => 0.2),
      uncertainty: at.map(() => 0),
      siblings: at.map(() => siblings),
    };
    return predict("added-series-resistance", evidence({ gain: -6 }, { response }))?.sign;
  };
  /** Rises with the square of the frequency, as the first of what a pole takes does. */
  const loss = (db: number) => (hz: number) => -db * (hz / 20_000) ** 2;

  it("is a sign from 0.2 dB to 1 dB, ends included", () => {
    expect(of(loss(0.19))).toBeUndefined();
    expect(of(loss(0.2))).toBe(4);
    expect(of(loss(1))).toBe(4);
    expect(of(loss(1.01))).toBeUndefined();
  });

  it("is one in a sweep that goes up to 18 kHz at least", () => {
    // The last points of the grid below these: 17 818 and 18 340 Hz.
    expect(of(loss(0.5), { upTo: 18_000 })).toBeUndefined();
    expect(of(loss(0.5), { upTo: 18_400 })).toBe(4);
  });

  it("is told from 10 kHz on", () => {
    expect(of((hz) => (hz === 10_000 ? 0 : loss(0.5)(hz)))).toBeUndefined();
    expect(of((hz) => (hz < 10_000 ? 0 : loss(0.5)(hz)))).toBe(4);
  });

  it("lies by more than six of the siblings' deviations below", () => {
    const at20k = (db: number) => (hz: number) => (hz === 20_000 ? -db : loss(0.4)(hz));
    expect(of(at20k(0.36), { siblings: 0.06 })).toBeUndefined();
    expect(of(at20k(0.37), { siblings: 0.06 })).toBe(4);
  });
});

describe("a wiper", () => {
  const free = (deviations: Deviations) =>
    predict("worn-gain-control", evidence({ clicks: 9, ...deviations }))?.fitted;

  it("that has not moved the level crackles in one of the noises", () => {
    expect(free({ gain: 0.9 })).toBe(2);
    for (const id of ["hiss", "noiseA", "noise"] as const) expect(free({ [id]: 9 })).toBe(0);
    expect([free({ gain: 1 }), free({ gain: -1 })]).toEqual([0, 0]);
  });

  it("lets the response wander as far as it jumped, or by 2 dB", () => {
    const jump = curve((hz) => (hz > 2000 && hz < 2800 ? -3 : 0));
    expect(predict("worn-gain-control", evidence({}, { response: jump }))?.wander).toBe(3);
    expect(predict("worn-gain-control", evidence({ clicks: 9 }))?.wander).toBe(2);
  });

  it("shows the breaks that there were", () => {
    const marks = [
      { kind: "level-break", segment: "tone-1000", atS: 1, untilS: 1.1, levelDb: -2 },
    ] as const;
    expect(codes("worn-gain-control", {}, { measurement: { ...measurement({}), marks } })).toEqual([
      "unsteady",
      "level-breaks",
    ]);
  });
});

describe("a bend without a threshold", () => {
  const steps = (...distortionDb: readonly number[]) => ({
    measurement: {
      ...measurement({}),
      steps: distortionDb.map((db, k) => ({
        aboveNominalDb: 6 * k,
        gainDb: 0,
        uncertainty: 0.01,
        distortionDb: db,
      })),
    },
  });

  it("of low tones alone is told where steps show none, not where they show a threshold", () => {
    const low = { thd100: 40, thdHot: 9 };
    expect(codes("smooth-distortion", { thd100: 40 })).toEqual(["low-tones"]);
    expect(codes("smooth-distortion", low, steps(-80, -79, -40))).toBeUndefined();
    expect(predict("smooth-distortion", evidence({ thd100: 40, thd: 1 }))?.evidence).toMatchObject([
      { figures: { at100Db: 40, at1kDb: 1 } },
    ]);
  });

  it("of halves that are unlike is rarer", () => {
    const of = (...levels: readonly number[]) =>
      predict("smooth-distortion", evidence({ thd: 20, thdHot: 20 }, steps(...levels)));
    expect(of(-60, -60, -60)?.sign).toBe(-1.5);
    expect(of(-60, -54, -48)?.sign).toBeUndefined();
  });
});

it("a gap makes no level jump within the sweep", () => {
  const film = { thd: 20, thdHot: 5 };
  const jump = curve((hz) => (hz > 2000 && hz < 2800 ? -3 : 0));
  expect(predict("crossover-distortion", evidence(film, { response: jump }))).toBeUndefined();
  expect(
    predict("crossover-distortion", evidence(film, { response: curve(() => 0) })),
  ).toBeDefined();
});

it("clipping grows with level where the loud tone stands out", () => {
  expect(codes("early-clipping", { thdHot: 1, headroom: -9 })).toEqual(["less-headroom"]);
  expect(codes("early-clipping", { thdHot: 9, headroom: -0.5 })).toEqual(["grows-with-level"]);
});

describe("a capacitor in the bass", () => {
  const capacitors = ["dried-coupling-capacitor", "dried-gain-leg-capacitor"] as const;
  /** Distortion of the siblings: nominal, loud. */
  const usual = (thd: number, thdHot: number) =>
    ({
      count: 9,
      readings: {
        thd: { count: 9, median: thd, scale: 1 },
        thdHot: { count: 9, median: thdHot, scale: 1 },
      },
      curves: {},
      excess: 1,
    }) as FamilyStats;

  it.each(capacitors)("%s bends 1 kHz no more than its voltage there can", (id) => {
    // Of −95 dB at 100 Hz hardly any is left at 1 kHz: 1 dB, which siblings scatter by.
    const own = {
      response: curve(highPass(100)),
      usual: usual(-100, -70),
      measurement: measurement({ thd100: reading(-95) }),
    };
    const found = moves(id, { thd100: 9 }, own);
    expect(found?.thd).toEqual([-1, 1]);
    expect(found?.thdHot).toEqual([-1, 1]);
  });

  it("carries millivolts in a stage of high gain, below a source of −10 dBu", () => {
    const low = (inputDbu: number) =>
      moves("dried-gain-leg-capacitor", { thd100: 9 }, { response: curve(highPass(50)), inputDbu })
        ?.thd100;
    expect([low(-10.1), low(-10)]).toEqual([
      [-3, 6],
      [-3, 50],
    ]);
  });

  it("is no coincidence where distortion was not read", () => {
    const free = (deviations: Deviations) =>
      predict(
        "dried-gain-leg-capacitor",
        evidence(deviations, { response: curve(highPass(50)), inputDbu: 4 }),
      )?.fitted;
    expect([free({}), free({ thd100: 1 })]).toEqual([1, 2]);
  });
});

describe("an equaliser", () => {
  const of = (shape: (hz: number) => number, at = x, spread = 0.2) =>
    predict("equaliser-left-in", evidence({}, { response: curve(shape, at, spread) }));

  it("stands out by three and a half spreads somewhere, the bound included", () => {
    const lift = curve(bell(3000, 1, 6));
    const peak = Math.max(...lift.y);
    const at = (score: number) => {
      const y = lift.y.map((db) => (db === peak ? score : (db / peak) * score * 0.999));
      return predict(
        "equaliser-left-in",
        evidence({}, { response: { ...lift, y, spread: y.map(() => 1) } }),
      );
    };
    expect([3.49, 3.5].map((score) => at(score) !== undefined)).toEqual([false, true]);
  });

  it("lifts by 24 dB at most, and lies at 25 kHz at most", () => {
    const seen = (shape: (hz: number) => number, at = x) =>
      of(shape, at)?.evidence[0] as { readonly figures?: { db: number; hz: number } } | undefined;
    const high = seen(bell(3000, 1, 30));
    expect(Math.abs(high?.figures?.db ?? 0)).toBeLessThanOrEqual(24);
    const wide = buildOctaveGrid(24, 20, 40_000);
    const far = seen(bell(31_000, 2, 12), wide);
    expect(far?.figures?.hz ?? 0).toBeLessThanOrEqual(25_000);
  });

  it("changes the level by its foot, five times of which doubt it", () => {
    // 0.137 dB at 1 kHz: 0.5 dB and 15 % of 0.68 dB.
    const shape = bell(5000, 2, 6);
    const found = of(shape)?.moves;
    const doubt = 0.5 + 0.15 * 5 * shape(1000);
    expect(found?.gain?.[0]).toBeCloseTo(shape(1000) - doubt, 1);
    expect(found?.gain?.[1]).toBeCloseTo(shape(1000) + doubt, 1);
    expect(found?.thd100?.[0]).toBeCloseTo(-7, 0);
    expect(found?.thd100?.[1]).toBeCloseTo(7, 0);
  });

  it("is not rarer for a bell in the lowest octave", () => {
    const wide = buildOctaveGrid(24, 5, 20_000);
    const found = of(bell(30, 3, 9), wide);
    expect(found?.fitted).toBe(3);
    expect(found?.sign).toBeUndefined();
  });
});

describe("oscillation", () => {
  it("worsens two readings, of which distortion is one", () => {
    expect(predict("oscillation", evidence({ thd: 12, noise: 9 }))).toBeUndefined();
    const tone = {
      measurement: measurement({ strayTone: dbfs(-70), strayToneHz: reading(15_000, "Hz", 1) }),
    };
    const seen = (deviations: Deviations) =>
      codes("oscillation", { strayTone: 20, ...deviations }, tone);
    expect(seen({ thd: 9 })).toEqual(["stray-tone"]);
    expect(seen({ hiss: 9, noiseA: 9 })).toEqual(["stray-tone"]);
    expect(seen({ thd: 9, hiss: 9 })).toEqual(["stray-tone", "worse-together"]);
  });

  it("with the law of a smooth bend shows by half a decibel of treble", () => {
    const lawful = [0, 6, 12].map((db) => ({
      aboveNominalDb: db,
      gainDb: 0,
      uncertainty: 0.01,
      distortionDb: -60 + db,
    }));
    const at = (treble: number) =>
      predict(
        "oscillation",
        evidence(
          { thd: 12, hiss: 9 },
          {
            measurement: { ...measurement({}), steps: lawful },
            response: curve((hz) => (hz > 11_000 ? treble : 0)),
          },
        ),
      );
    expect([0.49, 0.5].map((db) => at(db) !== undefined)).toEqual([false, true]);
  });
});

it("a low-cut falls 6 dB per octave for each order", () => {
  const words = say("low-cut-left-in", "low-end-cut", { order: 3, hz: 80, at20Db: -36 });
  expect(words).toContain("18 dB per octave below 80 Hz");
});
