import { describe, expect, it, test } from "vitest";
import type { Prediction } from "../../src/diagnose/cause-kind.js";
import {
  computeFit,
  computeLogDensity,
  computeUnexplained,
  isStriking,
  logStudentT4,
  selectFeatures,
  subtractPrediction,
} from "../../src/diagnose/likelihood.js";
import type { Feature, PathEvidence } from "../../src/diagnose/path-evidence.js";
import type { ReadingId } from "../../src/measure/reading-kinds.js";
import { formatEvidence } from "../../src/report/evidence/format-evidence.js";

// ln(t.pdf(x, 4)/t.pdf(0, 4)) of scipy 1.17.1; the rest follows by hand from what is said of each
// function: densities relative to a prediction that is exact and met.
const t4 = new Map([
  [0, 0],
  [0.5, -0.15156155454108702],
  [1, -0.5578588782855242],
  [2, -1.7328679513998633],
  [4, -4.023594781085251],
  [8, -7.083033360140541],
]);
const log = (t: number) => t4.get(t) as number;

const feature = (deviation: number, spread = 1): Feature => ({
  name: "gain",
  unit: "dB",
  deviation,
  spread,
});
function evidence(
  features: Readonly<Partial<Record<ReadingId, Feature>>>,
  response?: { readonly y: readonly number[]; readonly spread?: number },
): PathEvidence {
  const x = response?.y.map((_, k) => 20 * 2 ** (k / 24)) ?? [];
  return {
    path: "1/mic",
    findings: [],
    unheard: undefined,
    measurement: undefined,
    usual: undefined,
    features: new Map(Object.entries(features) as [ReadingId, Feature][]),
    response: response && {
      x,
      y: response.y,
      spread: response.y.map(() => response.spread ?? 1),
      uncertainty: response.y.map(() => 0),
    },
    inputDbu: undefined,
    others: [],
  };
}
const prediction = (more: Partial<Prediction> = {}): Prediction => ({
  moves: {},
  evidence: [],
  ...more,
});
const flat = (n: number, db: number) => Array.from({ length: n }, () => db);

test.each([...t4])("Student's t with four degrees of freedom at %d", (t, nats) => {
  expect(logStudentT4(t)).toBeCloseTo(nats, 12);
  expect(logStudentT4(-t)).toBeCloseTo(nats, 12);
});

describe("computeLogDensity", () => {
  it("of a point is the siblings' density about it", () => {
    expect(computeLogDensity(feature(4, 2), [0, 0])).toBeCloseTo(log(2), 12);
    expect(computeLogDensity(feature(4, 2), [3, 3])).toBeCloseTo(log(0.5), 12);
    expect(computeLogDensity(feature(-4, 2), [-3, -3])).toBeCloseTo(log(0.5), 12);
  });

  it("of a range costs its width in 2.5 spreads, and what lies beyond its ends", () => {
    // width 10/(2.5 · 2) = 2
    expect(computeLogDensity(feature(7, 2), [3, 13])).toBeCloseTo(-Math.log(3), 12);
    expect(computeLogDensity(feature(1, 2), [3, 13])).toBeCloseTo(log(1) - Math.log(3), 12);
    expect(computeLogDensity(feature(17, 2), [3, 13])).toBeCloseTo(log(2) - Math.log(3), 12);
    expect(computeLogDensity(feature(-7, 2), [-13, -3])).toBeCloseTo(-Math.log(3), 12);
  });

  it("of a range wider than 24 costs no more", () => {
    expect(computeLogDensity(feature(70), [1, 61.1])).toBeCloseTo(
      logStudentT4(8.9) - Math.log(25),
      12,
    );
    expect(computeLogDensity(feature(70), [1, 200])).toBeCloseTo(-Math.log(25), 12);
  });

  it("of a range that holds zero leaves the reading alone seven times in ten", () => {
    // width 10/2.5 = 4
    const mixed = (still: number, moved: number) =>
      Math.log(0.7 * Math.exp(still) + 0.3 * Math.exp(moved - Math.log(5)));
    expect(computeLogDensity(feature(4), [0, 10])).toBeCloseTo(mixed(log(4), 0), 12);
    expect(computeLogDensity(feature(0), [0, 10])).toBeCloseTo(mixed(0, 0), 12);
    expect(computeLogDensity(feature(-4), [-10, 0])).toBeCloseTo(mixed(log(4), 0), 12);
    expect(computeLogDensity(feature(-2), [0, 10])).toBeCloseTo(mixed(log(2), log(2)), 12);
  });
});

describe("computeFit", () => {
  it("adds up what each reading and the price of fitted figures give", () => {
    const path = evidence({ gain: feature(4), hiss: feature(1), thd: feature(0) });
    const { logLikelihood, parts } = computeFit(
      path,
      prediction({ moves: { gain: [4, 4] }, fitted: 2 }),
    );
    expect(logLikelihood).toBeCloseTo(log(1) - 2 * 1.5, 12);
    expect(parts.find(({ id }) => id === "gain")).toMatchObject({
      range: [4, 4],
      nats: expect.closeTo(0, 12),
    });
    expect(parts.find(({ id }) => id === "fitted")?.nats).toBe(-3);
    expect(computeFit(path, prediction()).logLikelihood).toBeCloseTo(log(4) + log(1), 12);
  });

  it("says what speaks against it: beyond four nats, and striking", () => {
    const against = (deviation: number, range: readonly [number, number]) =>
      computeFit(evidence({ gain: feature(deviation) }), prediction({ moves: { gain: range } }))
        .against;
    expect(against(8, [0, 0])).toHaveLength(1);
    expect(against(2, [0, 0])).toEqual([]);
    expect(against(8, [16, 16])).toHaveLength(1);
    expect(against(0, [8, 8])).toHaveLength(1);
    // within a wide range it is what the cause would give, however much the width costs
    expect(against(150, [1, 200])).toEqual([]);
    // and its ends are part of it, where width and leaving alone cost ln(25/0.3) = 4.4 nats
    expect(against(200, [0, 200])).toEqual([]);
    expect(against(-200, [-200, 0])).toEqual([]);
    expect(against(201, [0, 200])).toHaveLength(1);
  });

  it("counts a response as eight readings, by every eighth point from the fifth on", () => {
    const y = flat(48, 0).map((db, k) => (k % 8 === 4 ? 2 : db + 99));
    const { parts } = computeFit(evidence({}, { y }), prediction());
    expect(parts.find(({ id }) => id === "response")?.nats).toBeCloseTo(8 * log(2), 12);
    const half = flat(48, 0).map((db, k) => (k % 16 === 4 ? 2 : db));
    const fit = computeFit(evidence({}, { y: half }), prediction());
    expect(fit.parts.find(({ id }) => id === "response")?.nats).toBeCloseTo(4 * log(2), 12);
  });

  it("takes off the predicted response, which is good to 8 %", () => {
    // 50 predicted, 47 found, spread 3: 3/√(3² + 4²) = 0.6
    const path = evidence({}, { y: flat(24, 47), spread: 3 });
    const { logLikelihood } = computeFit(path, prediction({ response: () => 50 }));
    expect(logLikelihood).toBeCloseTo(8 * logStudentT4(0.6), 12);
  });

  it("forgives a level that wanders its extent, for three nats", () => {
    const path = evidence({}, { y: flat(24, 12) });
    const wandering = computeFit(path, prediction({ wander: 10 })).logLikelihood;
    expect(wandering).toBeCloseTo(8 * log(2) - 3, 12);
    const down = evidence({}, { y: flat(24, -12) });
    expect(computeFit(down, prediction({ wander: 10 })).logLikelihood).toBeCloseTo(
      8 * log(2) - 3,
      12,
    );
    // where it does not help, it costs nothing
    const still = evidence({}, { y: flat(24, 0.5) });
    expect(computeFit(still, prediction({ wander: 10 })).logLikelihood).toBeCloseTo(
      8 * log(0.5),
      12,
    );
  });

  it("says where a response differs most beyond it", () => {
    const y = flat(24, 0).map((db, k) => (k === 12 ? -9 : k === 4 ? 4 : db));
    const { against } = computeFit(evidence({}, { y }), prediction());
    expect(against).toHaveLength(1);
    expect(formatEvidence(against[0])).toMatch(/−9\.0 dB at 28 Hz/);
  });
});

describe("selectFeatures", () => {
  it("takes one reading of each group, the first that a path has", () => {
    const ids = (...names: readonly string[]) =>
      selectFeatures(evidence(Object.fromEntries(names.map((id) => [id, feature(1)])))).map(
        ([id]) => id,
      );
    expect(ids("gain", "hiss")).toHaveLength(2);
    expect(ids("hiss", "noiseA")).toHaveLength(1);
    expect(ids("nothing that is known")).toEqual([]);
  });
});

describe("subtractPrediction", () => {
  it("takes off what a range explains, and no more than there is", () => {
    const path = evidence({ gain: feature(-8), hiss: feature(3), thd: feature(5) });
    const rest = subtractPrediction(
      path,
      prediction({ moves: { gain: [-6, -2], hiss: [0, 9], thd: [7, 9] } }),
    );
    expect(
      (["gain", "hiss", "thd"] as const).map((id) => rest.features.get(id)?.deviation),
    ).toEqual([-2, 0, -2]);
  });

  it("takes off the response, and what wanders", () => {
    const path = evidence({}, { y: [-10, -4, 3, 9] });
    const rest = subtractPrediction(path, prediction({ response: () => 1, wander: 2 }));
    // −11, −5, 2, 8, each nearer to nought by 2
    expect(rest.response?.y.map((y) => y + 0)).toEqual([-9, -3, 0, 6]);
  });
});

test("none of these: what stands out costs four nats beyond the widest range at most", () => {
  const most = -Math.log(25) - 4;
  expect(computeUnexplained(evidence({ gain: feature(2) }))).toBeCloseTo(log(2), 12);
  expect(computeUnexplained(evidence({ gain: feature(80) }))).toBeCloseTo(most, 12);
  expect(computeUnexplained(evidence({ gain: feature(80), hiss: feature(-80) }))).toBeCloseTo(
    2 * most,
    12,
  );
  // the response at most 1.5 nats a reading that it stands for
  expect(computeUnexplained(evidence({}, { y: flat(24, 90) }))).toBe(-12);
  expect(computeUnexplained(evidence({}, { y: flat(24, 1) }))).toBeCloseTo(8 * log(1), 12);
});

describe("isStriking", () => {
  it("of a reading beyond so many spreads", () => {
    expect(isStriking(evidence({ gain: feature(6.1, 2) }), 3)).toBe(true);
    expect(isStriking(evidence({ gain: feature(-6.1, 2) }), 3)).toBe(true);
    expect(isStriking(evidence({ gain: feature(6, 2) }), 3)).toBe(false);
  });

  it("of five neighbouring points of the response", () => {
    const run = (n: number, db = 7) =>
      isStriking(
        evidence({}, { y: flat(24, 0).map((_, k) => (k > 8 && k <= 8 + n ? db : 0)), spread: 2 }),
        3,
      );
    expect([run(4), run(5), run(5, 6), run(5, -7)]).toEqual([false, true, false, true]);
    const apart = flat(24, 0).map((_, k) => (k % 5 === 0 ? 0 : 7));
    expect(isStriking(evidence({}, { y: apart }), 3)).toBe(false);
  });
});

describe("what speaks against a prediction", () => {
  const codes = (deviation: number, range: readonly [number, number], spread = 1) =>
    computeFit(
      evidence({ gain: feature(deviation, spread) }),
      prediction({ moves: { gain: range } }),
    ).against.map(({ code }) => code);

  it("is a reading that has not moved by 3.5 spreads where it must have, either way", () => {
    expect(codes(0, [100, 200])).toEqual(["reading-unmoved"]);
    expect(codes(0, [-200, -100])).toEqual(["reading-unmoved"]);
    expect([6.9, 7].map((db) => codes(db, [100, 200], 2))).toEqual([
      ["reading-unmoved"],
      ["reading-otherwise"],
    ]);
  });

  it("is one that moved where it must not, or by another amount than it may", () => {
    expect(codes(20, [0, 0])).toEqual(["reading-unexplained"]);
    expect(codes(20, [0, 1])).toEqual(["reading-otherwise"]);
    expect(codes(-20, [-1, 0])).toEqual(["reading-otherwise"]);
    // What a wide range holds it predicts, however much that costs.
    expect(codes(150, [100, 200])).toEqual([]);
    expect(codes(20, [20, 20])).toEqual([]);
  });
});

describe("a response that goes below 20 Hz", () => {
  /** Two points below the band, and nine of 24 an octave within it, of which the fifth counts. */
  const x = [5, 10, ...Array.from({ length: 9 }, (_, k) => 20 * 2 ** (k / 24))];
  const path = (y: readonly number[], more: Partial<PathEvidence> = {}): PathEvidence => ({
    ...evidence({}),
    response: { x, y, spread: x.map(() => 1), uncertainty: x.map(() => 0) } as never,
    ...more,
  });
  const of = (low: readonly number[], fifth: number, response?: () => number) =>
    computeFit(
      path([...low, 0, 0, 0, 0, fifth, 0, 0, 0, 0]),
      prediction(response === undefined ? {} : { response }),
    );

  it("counts each point there, three readings' worth in all", () => {
    expect(of([4, 2], 0).logLikelihood).toBeCloseTo((3 * (log(4) + log(2))) / 2, 12);
    expect(of([0, 0], 2).logLikelihood).toBeCloseTo(8 * log(2), 12);
  });

  it("is beyond a prediction where it is so by most, from 3.5 spreads on", () => {
    const beyond = (byDb: number, atHz: number) => [{ code: "response-beyond", byDb, atHz }];
    expect(of([3.4, 3.4], 3.4).against).toEqual([]);
    expect(of([3.5, 0], 0).against).toEqual(beyond(3.5, 5));
    expect(of([0, -5], 4).against).toEqual(beyond(-5, 10));
    expect(of([4, 4], 0).against).toEqual(beyond(4, 5));
    expect(of([4, 0], 4).against).toEqual(beyond(4, x[6]));
    expect(of([4, 0], -9).against).toEqual(beyond(-9, x[6]));
    // 5 dB of which 1 dB is predicted.
    expect(of([5, 1], 1, () => 1).against).toEqual(beyond(4, 5));
  });

  it("costs unknown causes one and a half nats for each of the readings that it is worth", () => {
    const far = x.map(() => 1e6);
    expect(computeUnexplained(path(far))).toBeCloseTo(-1.5 * (8 + 3), 12);
    const within = { x: x.slice(2), y: far.slice(2), spread: x.slice(2).map(() => 1) };
    expect(computeUnexplained(path([], { response: within as never }))).toBeCloseTo(-1.5 * 8, 12);
  });
});

describe("what is left of a path", () => {
  const marks = [
    { kind: "level-break", segment: "sweep", atS: 1, untilS: 1.1, levelDb: -2 },
    { kind: "click", atS: 2, overDb: 20 },
  ] as never;
  const path: PathEvidence = {
    ...evidence({ gain: feature(-6) }, { y: [3, -3, 1] }),
    measurement: { readings: {}, absent: {}, curves: {}, marks },
  };
  const left = (more: Partial<Prediction>) => subtractPrediction(path, prediction(more));

  it("has no break of the level beneath a level that wanders, and all marks else", () => {
    expect(left({ wander: 1 }).measurement?.marks).toEqual([{ kind: "click", atS: 2, overDb: 20 }]);
    expect(left({}).measurement?.marks).toEqual(marks);
    const none = { ...path, measurement: undefined };
    expect(subtractPrediction(none, prediction({ wander: 1 })).measurement).toBeUndefined();
  });

  it("has the response without what is predicted, or what wanders, or both", () => {
    expect(left({}).response?.y).toEqual([3, -3, 1]);
    expect(left({ response: () => 1 }).response?.y).toEqual([2, -4, 0]);
    expect(left({ wander: 2 }).response?.y).toEqual([1, -1, 0]);
    expect(left({ response: () => 1, wander: 2 }).response?.y).toEqual([0, -2, 0]);
  });
});
