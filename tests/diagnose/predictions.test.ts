import { describe, expect, it } from "vitest";
import { predictHumMixing, predictLevelRanges } from "../../src/diagnose/cause-kind.js";
import { findMatchingFamily } from "../../src/diagnose/causes/wrong-path-recorded.js";
import { computeFit, computeUnexplained } from "../../src/diagnose/likelihood.js";
import { getTolerance } from "../../src/diagnose/meter-tolerance.js";
import { findMatches, listStems } from "../../src/diagnose/notes/word-pattern.js";
import {
  buildPathEvidence,
  computeHumShare,
  type Feature,
  findLargestDifference,
  type PathEvidence,
} from "../../src/diagnose/path-evidence.js";
import { isMostlyStrayTone } from "../../src/diagnose/stray-tone.js";
import { powerToDb } from "../../src/dsp/decibels.js";
import { buildOctaveGrid } from "../../src/dsp/octave-grid.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { measurement } from "../helpers/families.js";
import { type Deviations, evidence, feature, predict } from "../helpers/path-evidence.js";

// Expected: the closed forms and figures named in each test.

describe("another level with nothing broken", () => {
  it("moves each reading as its order and place say, and no other way", () => {
    // 10 dB: of order n by n − 1 times as much, so 20 dB for the third; 3 and 1 dB are chance's.
    const [less, more] = [predictLevelRanges(-10), predictLevelRanges(10)];
    expect([less.thd, more.thd]).toEqual([
      [-23, 3],
      [-3, 28],
    ]);
    expect([less.hiss, more.hiss]).toEqual([
      [-11, 1],
      [-1, 11],
    ]);
    // Nearer full level the rails may be reached, further from it they are not.
    expect([less.thdHot, more.thdHot]).toEqual([
      [-23, 3],
      [-3, 40],
    ]);
    expect(predictLevelRanges(0).thdHot).toEqual([-3, 3]);
    // What is left before clipping is more by what the level is less, and the other way round.
    const headroom = (levelDb: number) => (predictLevelRanges(levelDb).headroom ?? []).map(Number);
    expect(headroom(-10)).toEqual([-1, 11]);
    expect(headroom(10)).toEqual([-11, 1]);
    expect([less.compression, more.compression]).toEqual([
      [-0, 0.3],
      [-10, 0.3],
    ]);
  });
});

describe("a cause that shakes the level", () => {
  it("is absent where nothing is unsteady", () => {
    for (const id of ["worn-gain-control", "dirty-contact"]) {
      expect(predict(id, evidence({ gain: -3 })), id).toBeUndefined();
      expect(predict(id, evidence({ gain: -3, instability: 9 })), id).toBeDefined();
    }
  });

  it("says that the level is not steady where no single break was seen", () => {
    const [said] = predict("dirty-contact", evidence({ instability: 9 }))?.evidence ?? [];
    expect(said && formatEvidence(said)).toBe("the level is not steady");
  });

  it("has a film where small signals are swallowed: distortion that falls with the level", () => {
    const film = (thd: number, thdHot: number) =>
      predict("dirty-contact", evidence({ thd, thdHot })) !== undefined;
    expect(film(20, 5)).toBe(true);
    expect(film(20, 18)).toBe(false);
    // A tone no worse than the siblings' is swallowed by nothing, however clean a loud one is.
    expect(film(2, -10)).toBe(false);
  });
});

describe("a dirty contact", () => {
  const contact = (deviations: Deviations, more: Partial<PathEvidence> = {}) =>
    predict("dirty-contact", evidence(deviations, more));
  const codes = (...own: Parameters<typeof contact>) =>
    contact(...own)?.evidence.map((one) => (one.code === "of-cause" ? one.seen : one.code));
  const x = buildOctaveGrid(24, 20, 20_000);
  // 2 dB less from 2 to 4 kHz, at once or over four points either way.
  const edges = [2000, 4000].map((hz) => x.findIndex((at) => at >= hz));
  const broken = (points: number) => {
    const y = x.map((_, i) => {
      const inside = Math.min(i - edges[0], edges[1] - i);
      return -2 * Math.min(1, Math.max(0, inside / points));
    });
    return { x, y, spread: x.map(() => 0.2), uncertainty: x.map(() => 0.001) };
  };

  it("says what of it was seen, and that it is unsteady where no break says so", () => {
    expect(codes({ thd: 20, thdHot: 5 })).toEqual(["falls-with-level"]);
    expect(codes({ linearity: -6 })).toEqual(["small-swallowed"]);
    expect(codes({ clicks: 9, thd: 20, thdHot: 5 })).toEqual(["unsteady", "falls-with-level"]);
    const steps = [-20, -10, 0].map((aboveNominalDb, k) => ({
      aboveNominalDb,
      gainDb: k === 1 ? -1 : 0,
      uncertainty: 0.01,
    }));
    expect(codes({}, { measurement: { ...measurement({}), steps } })).toEqual([
      "unsteady",
      "breaks-in-steps",
    ]);
    // Where the level jumps, the shape of the break is not sought.
    expect(codes({}, { response: broken(1) })).toEqual(["unsteady"]);
    expect(codes({}, { response: broken(8) })).toEqual(["unsteady", "breaks-in-sweep"]);
    expect(codes({}, { response: { ...broken(1), y: x.map(() => 0) } })).toBeUndefined();
  });

  it("bends a loud tone by 23 dB at most where nothing is known of the one at nominal", () => {
    expect(contact({ linearity: -6, thdHot: 40 })?.moves.thdHot).toEqual([-1, 23]);
    expect(contact({ thd: 20, thdHot: 16.9 })?.moves.thdHot).toEqual([-1, 16.9]);
    expect(contact({ linearity: -6, thd: 3, thdHot: 9 })?.moves.thdHot).toEqual([-1, 2]);
  });

  it("lets hiss rise by its crackle unless hum is known, and even lines beside odd ones alone", () => {
    const dbfs = (value: number) => ({ value, unit: "dBFS", uncertainty: 0.1 });
    const hiss = (readings: Parameters<typeof measurement>[0], up: Deviations = { hiss: 9 }) =>
      contact({ instability: 9, burstiness: 0, ...up }, { measurement: measurement(readings) })
        ?.moves.hiss?.[1];
    // 9 dB up to −80 dBFS, hum 5 dB beneath: 9 − 5 + 3.
    expect(hiss({ hiss: dbfs(-80), humOdd: dbfs(-85) })).toBe(7);
    expect(hiss({ hiss: dbfs(-80) })).toBe(60);
    expect(hiss({ humOdd: dbfs(-85) })).toBe(60);
    expect(hiss({ hiss: dbfs(-80), humOdd: dbfs(-85) }, {})).toBe(60);
    const even = contact({ instability: 9, humOdd: 2 })?.moves;
    expect([even?.humOdd, even?.humEven]).toEqual([
      [-30, 60],
      [-30, 12],
    ]);
  });
});

describe("a capacitor that leaks", () => {
  const signs = (deviations: Deviations) =>
    predict("leaky-capacitor", evidence(deviations))?.evidence.map((one) =>
      one.code === "of-cause" ? one.seen : one.code,
    );

  it("is seen by direct voltage of either sign, clicks, or noise that is low", () => {
    expect(signs({ dc: 20 })).toEqual(["direct-voltage"]);
    expect(signs({ dc: -20 })).toEqual(["direct-voltage"]);
    expect(signs({ clicks: 20 })).toEqual(["clicks"]);
    expect(signs({ noiseSlope: -20 })).toEqual(["low-noise"]);
    expect(signs({ burstiness: 20 })).toEqual(["crackles"]);
    expect(signs({ dc: 20, clicks: 20 })).toEqual(["direct-voltage", "clicks"]);
  });

  it("is none where all of that is as usual, or lies the other way", () => {
    expect(signs({})).toBeUndefined();
    expect(signs({ dc: 0.1, clicks: 0.1, gain: -9 })).toBeUndefined();
    expect(signs({ clicks: -20, noiseSlope: 20, burstiness: -20 })).toBeUndefined();
  });
});

describe("a leg that is open", () => {
  it("lets in what mixes into other readings only where there is much of it", () => {
    // half the voltage
    const moves = (hum: Deviations) => predict("open-leg", evidence({ gain: -6, ...hum }))?.moves;
    const [mixing, level] = [predictHumMixing().thd, predictLevelRanges(-6).thd];
    expect(mixing).not.toEqual(level);
    expect(moves({ humOdd: 40 })?.thd).toEqual(mixing);
    expect(moves({ humOdd: 19 })?.thd).toEqual(level);
    expect(moves({})?.thd).toEqual(level);
  });
});

describe("a stage that oscillates", () => {
  it("an open leg is heard by the noise that hum is most of, where siblings' own hum scatters", () => {
    const dbfs = (value: number) => ({ value, unit: "dBFS", uncertainty: 0.1 });
    const open = (noiseDb: number) =>
      predict("open-leg", {
        ...evidence({}),
        features: new Map<ReadingId, Feature>([
          ["gain", feature(-6)],
          ["humOdd", feature(30, 12)],
          ["noise", feature(noiseDb)],
          ["noiseA", feature(noiseDb / 2)],
        ]),
        measurement: measurement({ hum: dbfs(-80), noise: dbfs(-79.9) }),
      });
    expect(open(28)?.sign).toBeGreaterThan(0);
    expect(open(28)?.moves.humOdd?.[0]).toBe(1);
    expect(open(2)?.sign).toBeUndefined();
    expect(open(2)?.moves.humOdd?.[0]).toBeLessThan(0);
  });

  it("gives as its signs what was seen, and nothing else", () => {
    const found = predict("oscillation", evidence({ thd: 12, hiss: 9, noiseA: 8 }));
    expect(found?.evidence.map(formatEvidence)).toEqual([
      "noise and distortion worsen together: distortion +12.0 dB, hiss +9.0 dB, noise (A-weighted) +8.0 dB",
    ]);
  });
});

describe("a pan or a leg to one side", () => {
  it("is faulty where one side lost level and the other lies within three spreads", () => {
    const found = (other: number) =>
      predict(
        "send-or-pan-faulty",
        evidence(
          { gain: -9 },
          {
            beside: {
              heard: true,
              features: new Map([["gain", feature(other, 0.5)]]),
              response: undefined,
            },
          },
        ),
      ) !== undefined;
    expect([0, 1.5, -1.5, 1.6, -1.6].map(found)).toEqual([true, true, true, false, false]);
  });
});

describe("a cause", () => {
  const x = buildOctaveGrid(24, 20, 20_000);
  const curve = (db: (hz: number) => number, upTo = x, siblings = upTo.map(() => 0.01)) => ({
    x: upTo,
    y: upTo.map(db),
    spread: upTo.map(() => 0.2),
    uncertainty: upTo.map(() => 0.002),
    siblings,
  });
  const flat = curve(() => 0);
  const lowPass1 = (cornerHz: number) => (hz: number) => -powerToDb(1 + (hz / cornerHz) ** 2);

  // A pad takes 10 to 30 dB (common practice); no device hisses tens of decibels more than others.
  it.each([
    ["pad-in", { gain: -20 }, true],
    ["pad-in", { gain: -6 }, false],
    ["pad-in", { gain: -45 }, false],
    ["feedback-howl", { hiss: 55 }, true],
    ["feedback-howl", { noise: 55 }, true],
    ["feedback-howl", { hiss: 20 }, false],
    // What bends 1 kHz is not a limit of slope, which 20 kHz meets first.
    ["slewing", { imd: 20 }, true],
    ["slewing", { imd: 20, thd: 20 }, false],
    ["slewing", { imd: 1 }, false],
    ["supply-ripple", { humEven: 30 }, true],
    ["supply-ripple", { humOdd: 30 }, false],
  ] as const)("%s of %j is told: %s", (id, deviations, isTold) => {
    expect(predict(id, evidence(deviations, { response: flat })) !== undefined).toBe(isTold);
  });

  it("of a resistance ahead of a capacitance takes treble by the square of the frequency", () => {
    // A low-pass of first order at f loses 10·lg(1 + (20 kHz/f)²): of 80 kHz 0.26 dB, clear of
    // siblings that agree within 0.01 dB and of none else; of 140 kHz 0.09 dB, which a fader does too.
    const found = (cornerHz: number, ...more: [typeof x?, number[]?]) =>
      predict(
        "added-series-resistance",
        evidence({ gain: -6 }, { response: curve(lowPass1(cornerHz), ...more) }),
      );
    expect(found(80_000)?.sign).toBeDefined();
    const { siblings: _, ...unknown } = curve(lowPass1(80_000));
    expect(
      predict("added-series-resistance", evidence({ gain: -6 }, { response: unknown })),
    ).toBeUndefined();
    expect(
      found(
        80_000,
        x,
        x.map(() => 0.2),
      ),
    ).toBeUndefined();
    expect(found(140_000)).toBeUndefined();
    // 2.0 dB: its shape speaks for itself.
    expect(found(26_000)).toBeDefined();
    expect(found(26_000)?.sign).toBeUndefined();
    // A sweep to 18 kHz shows it as well: 0.21 dB.
    const to18k = [...x.filter((hz) => hz < 18_000), 18_000];
    expect(found(80_000, to18k)?.sign).toBeDefined();
  });

  it("of a film distorts a signal 12 dB above nominal less than that at nominal", () => {
    const [, most] = predict("dirty-contact", evidence({ thd: 20, thdHot: 5 }))?.moves.thdHot ?? [];
    expect(most).toBeLessThan(20);
  });

  it("of a film is not what rises by the law of its order", () => {
    // A square law: 1 dB of second harmonic for each decibel of level; a film's falls as fast.
    const steps = (slope: number) =>
      [0, 6, 10, 12, 14, 17].map((aboveNominalDb) => ({
        aboveNominalDb,
        gainDb: 0,
        uncertainty: 0.01,
        distortionDb: -60 + slope * aboveNominalDb,
      }));
    const most = (slope: number) => {
      const own = { ...measurement({}), steps: steps(slope) };
      const seen = { thd: 40, thdHot: slope > 0 ? 40 : 15, instability: 30 };
      return predict("dirty-contact", evidence(seen, { measurement: own }))?.moves.thd?.[1];
    };
    expect(most(1)).toBeLessThan(10);
    expect(most(-1)).toBe(80);
  });

  it("of a filter left in takes as much of 100 Hz as its order says", () => {
    // Of second order at 100 Hz: 10·lg 2 there. The third harmonic was made before it or after.
    const response = curve((hz) => -powerToDb(1 + (100 / hz) ** 4));
    const range = predict("low-cut-left-in", evidence({}, { response }))?.moves.thd100 ?? [];
    expect(range[0]).toBeCloseTo(-2 * powerToDb(2) - 2, 1);
    expect(range[1]).toBeCloseTo(powerToDb(2) + 2, 1);
  });

  it("of a dry capacitor says of its distortion where there is some", () => {
    const response = curve((hz) => -powerToDb(1 + (40 / hz) ** 2));
    const said = (deviations: Deviations) =>
      predict("dried-coupling-capacitor", evidence(deviations, { response }))
        ?.evidence.map(formatEvidence)
        .join();
    expect(said({})).not.toContain("distortion");
    expect(said({ thd100: 0.5 })).not.toContain("distortion");
    expect(said({ thd100: 20 })).toContain("distortion at 100 Hz +20.0 dB");
  });

  it("of a dry capacitor bends 1 kHz by what of it stands across it there, and no more", () => {
    // A corner of 110 Hz: across it stand 0.74 of 100 Hz and 0.11 of 1 kHz, whose square and harmonics'
    // way through leave 35.5 dB less at 1 kHz; of −88 dB at 100 Hz nothing is left above −90 dB there.
    const response = curve((hz) => -powerToDb((1 + (110 / hz) ** 2) / (1 + (110 / 1000) ** 2)));
    const median = (value: number) => ({ count: 9, median: value, scale: 1 });
    const readings = { thd: median(-95), thdHot: median(-90), thd100: median(-98) };
    const usual = { readings, curves: {} } as unknown as FamilyStats;
    const at1k = (thd100: number) => {
      const own = measurement({ thd100: { value: thd100, unit: "dB", uncertainty: 0.1 } });
      const path = evidence({ thd100: 10, thd: 20 }, { response, usual, measurement: own });
      return predict("dried-coupling-capacitor", path)?.moves.thd?.[1] ?? Number.NaN;
    };
    expect(at1k(-88)).toBeLessThan(1.5);
    expect(at1k(-30)).toBeGreaterThan(20);
  });

  it("of an output at a rail has even harmonics, those of a gap odd ones", () => {
    const db = (value: number) => ({ value, unit: "dB", uncertainty: 0.1 });
    const told = (second: number, third: number) => {
      const own = measurement({ thd: db(-3), harmonic2: db(second), harmonic3: db(third) });
      return predict("op-amp-latched", evidence({ gain: -20, thd: 80 }, { measurement: own }));
    };
    // Class C with conduction for 94° of a swing: −2.0 and −5.5 dB; a dead zone has no second one.
    expect(told(-2, -5.5)).toBeDefined();
    expect(told(-60, -5)).toBeUndefined();
  });

  it("of hum says how far the other lines are up, and mixes with other readings where it is gross", () => {
    const ground = (odd: number, even: number) =>
      predict("ground-hum", evidence({ humOdd: odd, humEven: even }));
    const said = (even: number) => ground(15, even)?.evidence.map(formatEvidence)[0];
    expect(said(8)).toMatch(/even ones \+8\.0 dB$/);
    expect(said(-8)).toMatch(/even ones like its siblings'$/);
    const thd = (odd: number, even: number) =>
      predict("supply-ripple", evidence({ humOdd: odd, humEven: even }))?.moves.imd;
    const mixing = predictHumMixing().imd;
    expect([thd(0, 10), thd(0, 30), thd(30, 10)]).toEqual([undefined, mixing, mixing]);
    expect(ground(15, 8)?.moves.imd).toBeUndefined();
    expect(ground(30, 8)?.moves.imd).toEqual(mixing);
  });

  it("of pulses of the mains tells alternate ones from those that are alike", () => {
    // Fourier series of pulses: of alternate sign at twice the mains odd lines alone, of one sign even
    // lines alone. They stand 10 dB above siblings that show only bounds.
    const x = Array.from({ length: 40 }, (_, i) => 50 * (i + 1));
    const points = x.map(() => ({ count: 9, median: -137, scale: 1 }));
    const usual = { curves: { humLines: { x, points } } } as unknown as FamilyStats;
    const told = (lines: (order: number) => boolean, above = 10) => {
      const y = x.map((_, i) => (lines(i + 1) ? -137 + above : -137));
      const uncertainty = y.map((db) => (db > -137 ? 0.5 : 6));
      const floor = x.map(() => -140);
      const humLines = { x, y, uncertainty, floor, xUnit: "Hz", yUnit: "dBFS" } as const;
      const path = evidence(
        { humOdd: 1, humEven: 1, hiss: 7, burstiness: 15 },
        { usual, measurement: measurement({}, { humLines }) },
      );
      return ["ground-hum", "supply-ripple"].map((id) => predict(id, path)?.sign);
    };
    const even = (order: number) => order % 2 === 0;
    const odd = (order: number) => !even(order);
    expect(told(odd)).toEqual([expect.any(Number), undefined]);
    expect(told(even)).toEqual([undefined, expect.any(Number)]);
    // A few lines by themselves, those of ordinary hum, and a rise that chance may give are none.
    expect(told((order) => order === 11 || order === 13)).toEqual([undefined, undefined]);
    expect(told((order) => order <= 7)).toEqual([undefined, undefined]);
    expect(told(odd, 2)).toEqual([undefined, undefined]);
  });

  it("of a wiper is likelier where the level is off, from the first decibel on", () => {
    const free = (gain: number) =>
      predict("worn-gain-control", evidence({ gain, clicks: 9 }))?.fitted;
    expect([-0.9, 0.9, -1, 1].map(free)).toEqual([2, 2, 0, 0]);
  });
});

describe("another path than the sheet's", () => {
  const usual = (gain: number, hiss: number): FamilyStats => {
    const of = (median: number) => ({ count: 12, median, scale: 0 });
    return { count: 12, readings: { gain: of(gain), hiss: of(hiss) }, curves: {}, excess: 1 };
  };
  const own = usual(0, -90);
  const path = evidence(
    { gain: 20, hiss: 8 },
    {
      usual: own,
      others: [
        // One spread off in both readings, and less than a third of one.
        { name: "tape", usual: usual(19, -81) },
        { name: "line", usual: usual(20.2, -82.3) },
      ],
    },
  );

  it("is of the family whose usual it meets best", () => {
    expect(findMatchingFamily(path)).toBe("line");
    const same = ["line", "tape"].map((name) => ({ name, usual: usual(20, -82) }));
    expect(findMatchingFamily({ ...path, others: same })).toBe("line");
    const far = { ...path, others: [{ name: "line", usual: usual(26, -82) }] };
    expect(findMatchingFamily(far)).toBeUndefined();
  });

  // Two of the other family's spreads, or of half the path's own, to either side, and four more of its
  // own beyond that.
  const of = (medians: Readonly<Record<string, number>>, scale = 0): FamilyStats => ({
    ...own,
    readings: Object.fromEntries(
      Object.entries(medians).map(([id, median]) => [id, { count: 12, median, scale }]),
    ),
  });
  const like = (
    features: Readonly<Record<string, Feature>>,
    ...others: readonly (readonly [name: string, usual: FamilyStats])[]
  ) =>
    evidence(
      {},
      {
        usual: own,
        features: new Map(Object.entries(features)) as PathEvidence["features"],
        others: others.map(([name, usual]) => ({ name, usual })),
      },
    );

  it("lies within two spreads of the other family, and never four of its own beyond", () => {
    const moves = (spread: number, scale: number) =>
      predict(
        "wrong-path-recorded",
        like({ gain: feature(20, spread) }, ["line", of({ gain: 19 }, scale)]),
      )?.moves.gain;
    expect(moves(1, 0.3)).toEqual([18, 20]);
    expect(moves(1, 2)).toEqual([15, 23]);
    const is = (deviation: number) =>
      findMatchingFamily(like({ gain: feature(deviation, 3) }, ["line", of({ gain: 19 })]));
    // 3 and 12 dB.
    expect([34, 34.1, 4, 3.9].map(is)).toEqual(["line", undefined, "line", undefined]);
  });

  it("is of the family that it misses by least of what that scatters", () => {
    const wide = ["wide", of({ gain: 18 }, 4)] as const;
    const narrow = ["narrow", of({ gain: 18.5 }, 0.1)] as const;
    expect(findMatchingFamily(like({ gain: feature(20) }, narrow, wide))).toBe("wide");
    const same = ["same", of({ gain: 0 })] as const;
    const near = ["near", of({ gain: 3 })] as const;
    expect(findMatchingFamily(like({ gain: feature(2) }, same, near))).toBe("near");
  });

  it("is of none where no reading is known of both", () => {
    const line = ["line", of({ gain: 20 })] as const;
    expect(findMatchingFamily(like({ thd: feature(20) }, line))).toBeUndefined();
    const stranger = like({ gain: feature(20), hiss: feature(99) }, line);
    expect(findMatchingFamily(stranger)).toBe("line");
    expect(findMatchingFamily({ ...stranger, usual: undefined })).toBeUndefined();
  });

  it("differs below the band by what the families differ by there", () => {
    const points = (...medians: readonly (number | undefined)[]) =>
      medians.map((median) => (median === undefined ? undefined : { count: 12, median, scale: 0 }));
    const curves = (low: number | undefined, high: number | undefined) => ({
      responseLow: { x: [10], points: points(low) },
      response: { x: [20, 50], points: points(high, high) },
    });
    const found = (mine: object | undefined, theirs: object) =>
      predict("wrong-path-recorded", {
        ...like({ gain: feature(20) }, [
          "line",
          { ...of({ gain: 20 }), curves: theirs } as FamilyStats,
        ]),
        usual: { ...own, curves: mine ?? {} } as FamilyStats,
      })?.response;
    const bent = found(curves(-2, -1), curves(-5, 1));
    expect([9, 10, 20, 50, 51].map((hz) => bent?.(hz))).toEqual([-3, -3, 2, 2, 0]);
    expect(found(curves(-2, -1), curves(undefined, 1))?.(10)).toBe(0);
    expect(found(curves(undefined, -1), curves(-5, 1))?.(10)).toBe(0);
    expect(found(undefined, curves(-5, 1))?.(50)).toBe(0);
  });

  it("has no response to be told by where the families have none", () => {
    const found = predict("wrong-path-recorded", path);
    expect(found?.response?.(1000)).toBe(0);
  });

  it("differs in its response by what the families differ by", () => {
    const bent = (stats: FamilyStats, medians: readonly number[]): FamilyStats => {
      const points = medians.map((median) => ({ count: 12, median, scale: 0 }));
      return { ...stats, curves: { response: { x: [500, 1000], points } } };
    };
    const others = [{ name: "line", usual: bent(usual(20, -82), [1, -5]) }];
    const found = predict("wrong-path-recorded", { ...path, usual: bent(own, [-2, -3]), others });
    expect([400, 1000].map((hz) => found?.response?.(hz))).toEqual([3, -2]);
  });
});

describe("what speaks against a cause", () => {
  const against = (deviation: number, range: readonly [number, number] = [-5, -3]) =>
    computeFit(evidence({ gain: deviation }), { moves: { gain: range }, evidence: [] }).against;

  it("is a reading beyond what it gives, on either side, and none within", () => {
    expect([-5, -4, -3].map((deviation) => against(deviation))).toEqual([[], [], []]);
    for (const deviation of [10, -20]) {
      expect(against(deviation), `${deviation} dB`).toHaveLength(1);
      expect(against(deviation)[0]).toMatchObject({ code: "reading-otherwise", deviation });
    }
    expect(against(0, [-15, -12])).toMatchObject([{ code: "reading-unmoved" }]);
  });

  it("is the response where it differs most, below the band too", () => {
    const x = [
      3,
      4,
      5,
      6,
      8,
      10,
      13,
      16,
      ...Array.from({ length: 48 }, (_, k) => 20 * 2 ** (k / 24)),
    ];
    const curve = (y: (hz: number) => number) => ({
      x,
      y: x.map(y),
      spread: x.map(() => 0.2),
      uncertainty: x.map(() => 0),
    });
    const said = (y: (hz: number) => number) =>
      computeFit(evidence({}, { response: curve(y) }), { moves: {}, evidence: [] }).against;
    expect(said(() => 0)).toEqual([]);
    expect(said((hz) => (hz === 5 ? -6 : 0))).toEqual([
      { code: "response-beyond", byDb: -6, atHz: 5 },
    ]);
  });
});

describe("what a meter may be off by", () => {
  it("is the standard's for its phantom supplies, and a twelfth for any other voltage", () => {
    const of = (nominal: number) =>
      getTolerance({ strip: "7", kind: "phantom", value: nominal, nominal });
    // IEC 61938: ±4 V of 48 and 24 V, ±1 V of 12 V; 4/48 is a twelfth.
    expect([48, 24, 12, 30].map(of)).toEqual([4, 4, 1, 2.5]);
  });
});

describe("evidence", () => {
  const dbfs = (value: number) => ({ value, unit: "dBFS", uncertainty: 0.1 });
  const readings = (all: Parameters<typeof measurement>[0]) =>
    evidence({ strayTone: 20 }, { measurement: measurement(all) });

  it("counts a share of hum only where hum was heard", () => {
    const share = (more: object) =>
      computeHumShare(readings({ hum: { ...dbfs(-90), ...more }, noise: dbfs(-80) }));
    expect(share({})).toBeCloseTo(0.1, 12);
    expect(share({ limitedBy: "noise" })).toBeUndefined();
    expect(computeHumShare(readings({ hum: dbfs(-90) }))).toBeUndefined();
  });

  it("takes hiss for a tone only where both were read, and the tone is at most 3 dB below it", () => {
    const id = "strayTone";
    const is = (tone: number) => isMostlyStrayTone(readings({ [id]: dbfs(tone), hiss: dbfs(-80) }));
    expect([-79, -82.9, -83.1].map(is)).toEqual([true, true, false]);
    expect(isMostlyStrayTone(readings({ [id]: dbfs(-80) }))).toBe(false);
  });

  it("takes the lower frequency where a response differs as much both ways", () => {
    const response = {
      x: [50, 500, 5000],
      y: [-3, 3, 2],
      spread: [1, 1, 1],
      uncertainty: [0, 0, 0],
    };
    expect(findLargestDifference(evidence({}, { response }), 20, 20_000)).toBe(-3);
    expect(findLargestDifference(evidence({}, { response }), 500, 20_000)).toBe(3);
    expect(findLargestDifference(evidence({}, { response }), 500, 499)).toBe(0);
  });

  it("is made of a path that was not measured too", () => {
    const usual: FamilyStats = {
      count: 3,
      readings: { hiss: { count: 3, median: -90, scale: 1 } },
      curves: { noise: { x: [20], points: [{ count: 3, median: -100, scale: 1 }] } },
      excess: 1,
    };
    const made = buildPathEvidence({ path: "1/mic", family: "mic" }, [], { usual });
    expect(made.measurement).toBeUndefined();
    expect(made.features.size).toBe(0);
  });
});

it("what bends the response below 20 Hz as well costs more to leave unexplained", () => {
  const rest = (from: number) => {
    const x = buildOctaveGrid(24, from, 20_000);
    const response = {
      x,
      y: x.map(() => -60),
      spread: x.map(() => 0.2),
      uncertainty: x.map(() => 0),
    };
    return computeUnexplained(evidence({}, { response }));
  };
  expect(rest(5)).toBeLessThan(rest(25));
});

it.each([0, 1])("of words that overlap the longest is found, in whatever order (%i)", (first) => {
  const rows = [
    ["cap", /fader cap/g],
    ["off", /cap off/g],
  ] as const;
  expect(findMatches([rows[first], rows[1 - first]], "the fader cap off")).toEqual([
    { is: "cap", start: 4, end: 13 },
  ]);
});

it("stems of patterns are what stands before ~, once each", () => {
  expect(listStems(["crackl~", "fade out", "crackl~ loud~"])).toEqual(["crackl", "loud"]);
});

it("a reading in percent keeps its unit apart from decibels", () => {
  const path = evidence({}, { features: new Map([["gain", { ...feature(12), unit: "%" }]]) });
  const { against } = computeFit(path, { moves: {}, evidence: [] });
  expect(against.map(formatEvidence)).toEqual(["gain 12 is not explained by it"]);
});
