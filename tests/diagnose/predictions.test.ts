import { describe, expect, it } from "vitest";
import {
  type CauseKind,
  isPredicted,
  type Prediction,
  predictHumMixing,
  predictLevelRanges,
} from "../../src/diagnose/cause-kind.js";
import { findMatchingFamily } from "../../src/diagnose/causes/wrong-path-recorded.js";
import { findCause } from "../../src/diagnose/causes.js";
import { computeFit } from "../../src/diagnose/likelihood.js";
import { getTolerance } from "../../src/diagnose/meter-tolerance.js";
import { listStems } from "../../src/diagnose/notes/word-pattern.js";
import {
  buildPathEvidence,
  computeHumShare,
  type Feature,
  findLargestDifference,
  type PathEvidence,
} from "../../src/diagnose/path-evidence.js";
import { isMostlyStrayTone } from "../../src/diagnose/stray-tone.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";
import type { FamilyStats } from "../../src/rank/family-stats.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";
import { measurement } from "../helpers/families.js";

// Expected: the closed forms and figures named in each test.

type Deviations = Readonly<Partial<Record<ReadingId, number>>>;

const feature = (deviation: number, spread = 1): Feature => ({
  name: "a reading",
  unit: "dB",
  deviation,
  spread,
});

function evidence(deviations: Deviations, more: Partial<PathEvidence> = {}): PathEvidence {
  const features = new Map(
    Object.entries(deviations).map(([id, deviation]) => [id as ReadingId, feature(deviation)]),
  );
  return {
    path: "1/mic",
    findings: [],
    unheard: undefined,
    measurement: undefined,
    usual: undefined,
    features,
    response: undefined,
    inputDbu: undefined,
    others: [],
    ...more,
  };
}

function predict(id: string, path: PathEvidence): Prediction | undefined {
  const kind = findCause(id) as CauseKind;
  if (!isPredicted(kind)) throw new Error(`${id} predicts nothing`);
  return kind.predict(path);
}

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
  it("is none where nothing is unsteady", () => {
    for (const id of ["worn-gain-control", "dirty-contact"]) {
      expect(predict(id, evidence({ gain: -3 })), id).toBeUndefined();
      expect(predict(id, evidence({ gain: -3, instability: 9 })), id).toBeDefined();
    }
  });

  it("says that the level is not steady where no single break was seen", () => {
    const [said] = predict("dirty-contact", evidence({ instability: 9 }))?.evidence ?? [];
    expect(said).toBe("the level is not steady");
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
  it("gives as its signs what was seen, and nothing else", () => {
    const found = predict("oscillation", evidence({ thd: 12, hiss: 9, noiseA: 8 }));
    expect(found?.evidence).toHaveLength(1);
    expect(found?.evidence[0]).toMatch(/^noise and distortion worsen together: /);
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
    const far = { ...path, others: [{ name: "line", usual: usual(26, -82) }] };
    expect(findMatchingFamily(far)).toBeUndefined();
  });

  it("has no response to be told by where the families have none", () => {
    const found = predict("wrong-path-recorded", path);
    expect(found?.response?.(1000)).toBe(0);
  });
});

describe("what speaks against a cause", () => {
  const against = (deviation: number, range: readonly [number, number] = [-5, -3]) =>
    computeFit(evidence({ gain: deviation }), { moves: { gain: range }, evidence: [] }).against;

  it("is a reading beyond what it gives, on either side, and none within", () => {
    expect(against(-4)).toEqual([]);
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

it("stems of patterns are what stands before ~, once each", () => {
  expect(listStems(["crackl~", "fade out", "crackl~ loud~"])).toEqual(["crackl", "loud"]);
});

it("a reading in percent keeps its unit apart from decibels", () => {
  const path = evidence({}, { features: new Map([["gain", { ...feature(12), unit: "%" }]]) });
  const { against } = computeFit(path, { moves: {}, evidence: [] });
  expect(against.map(formatEvidence)).toEqual(["gain 12 is not explained by it"]);
});
