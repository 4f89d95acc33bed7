import { describe, expect, it } from "vitest";
import type { PredictedCause, Prediction } from "../../src/diagnose/cause-kind.js";
import { predictedCauses } from "../../src/diagnose/causes.js";
import { diagnosePath, explainPath } from "../../src/diagnose/diagnose.js";
import { joinPredictions } from "../../src/diagnose/join-predictions.js";
import {
  computeFit,
  computeUnexplained,
  isStriking,
  subtractPrediction,
} from "../../src/diagnose/likelihood.js";
import { buildPathEvidence, type PathEvidence } from "../../src/diagnose/path-evidence.js";
import { limitWander } from "../../src/diagnose/roughness.js";
import { computeSideNats } from "../../src/diagnose/sides.js";
import type { FamilyStats, PathToRank } from "../../src/rank/family-stats.js";
import type { RankedPath } from "../../src/rank/rank.js";
import type { Finding, Severity } from "../../src/rank/types.js";
import { measurement } from "../helpers/families.js";

// Bayes' rule over every way in which a path may have come to measure so: nothing known, one cause
// alone, or two at once. A cause is as likely as all ways that hold it together. The figures are those
// of docs/diagnosis.md: none of these 3 %, a second cause 15 %, evidence at 0.7 of what a product of
// independent readings gives; worked out here for readings without a response, where two causes are
// fitted one after the other.

const share = 0.7;
const noneId = "none-of-these";

/** One way: the causes in it and its weight, nats. */
interface Way {
  readonly ids: readonly string[];
  readonly nats: number;
}
interface Alone {
  readonly kind: PredictedCause;
  readonly prediction: Prediction;
  readonly fit: number;
  readonly nats: number;
}

function listAlone(path: PathEvidence, but?: string): readonly Alone[] {
  const still = computeFit(path, { moves: {}, evidence: [] }).logLikelihood;
  return predictedCauses.flatMap((kind) => {
    const given = kind.id === but ? undefined : kind.predict(path);
    if (!given) return [];
    const prediction = limitWander(path, given);
    const fit = computeFit(path, prediction).logLikelihood;
    const seen = fit + computeSideNats(path, [{ kind, prediction }]);
    return fit > still
      ? [{ kind, prediction, fit, nats: Math.log(kind.prior) + share * seen }]
      : [];
  });
}
const noneOf = (path: PathEvidence): Way => ({
  ids: [noneId],
  nats: Math.log(0.03) + share * (computeUnexplained(path) + computeSideNats(path, [])),
});

function listPairs(path: PathEvidence, alone: readonly Alone[]): readonly Way[] {
  const firsts = alone.filter(({ kind }) => kind.id !== "no-signal");
  const best = new Map<string, Way>();
  for (const one of [...firsts].sort((a, b) => b.fit - a.fit).slice(0, 8)) {
    const rest = subtractPrediction(path, one.prediction);
    for (const other of predictedCauses) {
      if ([one.kind.id, "no-signal", "wrong-path-recorded"].includes(other.id)) continue;
      const given = other.predict(rest);
      if (!given) continue;
      const second = limitWander(path, given);
      const both = joinPredictions(one.prediction, second);
      const side = computeSideNats(path, [one, { kind: other, prediction: second }]);
      const nats =
        Math.log(one.kind.prior) +
        Math.log(other.prior) +
        Math.log(0.15) +
        share * (computeFit(path, both).logLikelihood + side);
      const ids = [one.kind.id, other.id].sort();
      if (nats > (best.get(ids.join())?.nats ?? Number.NEGATIVE_INFINITY)) {
        best.set(ids.join(), { ids, nats });
      }
    }
  }
  return [...best.values()];
}

/** Probability of each cause: that of all ways which hold it. */
function shareOut(ways: readonly Way[]): ReadonlyMap<string, number> {
  const most = Math.max(...ways.map(({ nats }) => nats));
  const total = ways.reduce((sum, { nats }) => sum + Math.exp(nats - most), 0);
  const shares = new Map<string, number>();
  for (const { ids, nats } of ways) {
    for (const id of ids) shares.set(id, (shares.get(id) ?? 0) + Math.exp(nats - most) / total);
  }
  return shares;
}

const told = (shares: Iterable<readonly [string, number]>) =>
  [...shares].filter(([, p]) => p >= 0.05).sort(([, a], [, b]) => b - a);

/** How a path was judged, and the causes in the order of their probability. */
function judge(path: PathEvidence) {
  const alone = listAlone(path);
  const singles = [...alone.map(({ kind, nats }) => ({ ids: [kind.id], nats })), noneOf(path)];
  const first = told(shareOut(singles));
  if (first[0][0] === "no-signal") return { by: "silence", causes: first.slice(0, 1) };
  const ranked = [...alone].sort((a, b) => b.nats - a.nats);
  const best = ranked[0];
  if (best === undefined) return { by: "none", causes: first };
  const rest = subtractPrediction(path, best.prediction);
  const leaves = best.prediction.wander !== undefined || isStriking(rest, 3.5);
  const sure = (shareOut(singles).get(best.kind.id) ?? 0) > 0.8;
  if (!leaves && sure) return { by: "one", causes: first };
  const pairs = listPairs(path, alone);
  const ways = [...singles, ...pairs].sort((a, b) => b.nats - a.nats);
  const total = ways.reduce((sum, { nats }) => sum + Math.exp(nats - ways[0].nats), 0);
  if (ways[0].ids.length > 1 || 1 / total <= 0.8)
    return { by: "pairs", causes: told(shareOut(ways)) };
  // One alone is likely, yet what it leaves must come from something.
  const id = ways[0].ids[0];
  const likely = alone.find(({ kind }) => kind.id === id);
  if (likely === undefined) return { by: "none", causes: first };
  const left = subtractPrediction(path, likely.prediction);
  const ofRest = shareOut([
    ...listAlone(left, id).map(({ kind, nats }) => ({ ids: [kind.id], nats })),
    noneOf(left),
  ]);
  const isNamed = Math.max(...ofRest.values()) !== ofRest.get(noneId);
  const own = pairs.filter(({ ids }) => ids.includes(id));
  if (!isStriking(left, 5) || !isNamed || own.length === 0) return { by: "one", causes: first };
  const others = told([...shareOut(own)].filter(([other]) => other !== id));
  return { by: "rest", causes: [[id, shareOut(singles).get(id) ?? 0] as const, ...others] };
}

const units: Readonly<Record<string, string>> = { noise: "dBFS", hiss: "dBFS", hum: "dBFS" };
const usualOf: Readonly<Record<string, number>> = {
  gain: 0,
  hiss: -100,
  noise: -99,
  noiseSlope: 0,
  humOdd: -112,
  humEven: -118,
  thd: -90,
  thd100: -88,
  thdHot: -80,
  imd: -85,
  compression: 0,
  linearity: 0,
  instability: -60,
  burstiness: 0,
  clicks: 0,
  dc: -70,
  polarity: 1,
  strayTone: -120,
};
const usual: FamilyStats = {
  count: 12,
  readings: Object.fromEntries(
    Object.entries(usualOf).map(([id, median]) => [id, { count: 12, median, scale: 0.3 }]),
  ),
  curves: {},
  excess: 1,
};
const read = (off: Readonly<Record<string, number>>): PathToRank => ({
  path: "1/mic",
  family: "mic",
  measurement: measurement(
    Object.fromEntries(
      Object.entries(usualOf).map(([id, value]) => [
        id,
        { value: value + (off[id] ?? 0), unit: units[id] ?? "dB", uncertainty: 0.1 },
      ]),
    ),
  ),
});
const finding = (severity: Severity): Finding => ({
  reading: "gain",
  against: "siblings",
  value: 0,
  expected: 0,
  deviation: 0,
  unit: "dB",
  score: 9,
  severity,
  observation: { code: "off" } as never,
});
const ranked = (...severities: readonly Severity[]): RankedPath =>
  ({ path: "1/mic", oddness: 9, findings: severities.map(finding) }) as unknown as RankedPath;
const around = { usual };
const serious = ranked("service");

/** What is off, in decibels, and how it ought to be judged. */
const cases: readonly (readonly [by: string, off: Readonly<Record<string, number>>])[] = [
  ["pairs", { clicks: 24 }],
  ["pairs", { linearity: -14 }],
  ["pairs", { thd100: 21, humEven: 20 }],
  ["pairs", { thd100: 2, linearity: -6, thd: 6, humEven: 2 }],
  ["pairs", { clicks: 9, instability: 11 }],
  ["pairs", { noiseSlope: -3, noise: -2 }],
  ["pairs", { instability: 2, dc: 3 }],
  ["pairs", { hiss: 5, thd: 8, imd: -6, thd100: 5 }],
  ["pairs", { dc: -10, burstiness: 26 }],
  ["pairs", { imd: -11, noiseSlope: -6, burstiness: -2 }],
  ["pairs", { instability: 15, humEven: 14, thdHot: 24, burstiness: 5 }],
  ["pairs", { thd: -8, humOdd: 15, dc: 21 }],
  ["pairs", { humOdd: 26, gain: 2, humEven: 24, linearity: -4 }],
  ["pairs", { instability: 2, strayTone: 19, humOdd: 14 }],
  ["pairs", { thdHot: 11, imd: 11, compression: -16, humEven: -26 }],
  ["pairs", { hiss: 18 }],
  ["pairs", { humOdd: 7, gain: 2 }],
  ["pairs", { burstiness: 12, thdHot: 5 }],
  ["pairs", { noise: 5, thdHot: 5, burstiness: 7 }],
  ["pairs", { compression: 4, clicks: 2, imd: -5, thd: 13 }],
  ["pairs", { noiseSlope: -7, thdHot: 12, gain: -2 }],
  ["pairs", { noiseSlope: -5, gain: -7 }],
  ["one", { noise: 4, thd: -7, humEven: 8, hiss: 11 }],
  ["one", { linearity: -3, hiss: 8, noise: 7 }],
  ["one", { thd: 18, strayTone: 15, hiss: 13, humEven: 2, gain: 10 }],
  ["one", { compression: 8, burstiness: 3, dc: 9, noise: -6 }],
  ["one", { thdHot: 16 }],
  ["one", { thdHot: 6, clicks: 20, gain: 16, noise: -3 }],
  ["one", { humOdd: 25, instability: 17 }],
  ["one", { instability: 7, gain: 3 }],
  ["one", { noiseSlope: -3 }],
  ["one", { gain: 3 }],
  ["one", { gain: 12, thdHot: 25 }],
  ["one", { gain: 4, thd100: 2, hiss: 8 }],
  ["none", { humOdd: -21 }],
  ["none", { hiss: -16, gain: -5 }],
  ["none", { humOdd: -24, dc: 3, imd: -10 }],
  ["none", { compression: 8, thd100: 15, imd: 5 }],
  ["rest", { strayTone: 16, humEven: 12, dc: -3, thdHot: 22 }],
  ["rest", { hiss: -2, humOdd: 16, humEven: 3, thd100: 14 }],
  ["rest", { thdHot: 23, humOdd: 9, clicks: -3, thd100: 24 }],
  ["rest", { thdHot: 18, humOdd: 12, dc: 2, instability: -2 }],
  ["rest", { imd: 17, noiseSlope: -2, thdHot: 17, hiss: 3 }],
  ["rest", { thd: -15, gain: -20, thd100: 13, humOdd: -2 }],
  ["rest", { hiss: 7, instability: -3, compression: -7, thd: 26 }],
  ["silence", { gain: -45 }],
];

describe("the weighing of causes", () => {
  it.each(cases)("by %s of %j is Bayes' rule", (by, off) => {
    const input = read(off);
    const expected = judge(buildPathEvidence(input, serious.findings, around));
    expect(expected.by).toBe(by);
    const found = diagnosePath(input, serious, around);
    expect(found.map(({ cause }) => cause)).toEqual(expected.causes.slice(0, 4).map(([id]) => id));
    found.forEach(({ probability }, k) => {
      expect(probability).toBe(Math.min(0.99, Math.round(100 * expected.causes[k][1]) / 100));
    });
  });
});

describe("the weighing beside the other side of the bus", () => {
  const beside = (off: Readonly<Record<string, number>>) => ({
    ...around,
    beside: { input: { ...read(off), path: "1/mic:right" }, usual },
  });

  it.each([
    [{ gain: -4 }, { gain: -4 }],
    [{ gain: -4 }, {}],
    [{ gain: 4 }, { gain: -4 }],
    [
      { hiss: 9, gain: 3 },
      { hiss: 9, gain: 0 },
    ],
    [{ thdHot: 12, hiss: 8 }, { hiss: 8 }],
    [{ humOdd: 20, gain: -6 }, {}],
  ] as const)("of %j beside %j is Bayes' rule", (off, other) => {
    const input = read(off);
    const reference = beside(other);
    const expected = judge(buildPathEvidence(input, serious.findings, reference));
    const found = diagnosePath(input, serious, reference);
    expect(found.map(({ cause, probability }) => [cause, probability])).toEqual(
      expected.causes.slice(0, 4).map(([id, p]) => [id, Math.min(0.99, Math.round(100 * p) / 100)]),
    );
  });

  it("has no part in a side that is silent while the other comes through", () => {
    const named = (other: Readonly<Record<string, number>>) =>
      diagnosePath(read({ gain: -45 }), serious, beside(other)).map(({ cause }) => cause);
    expect(named({ gain: -45 })).toEqual(["no-signal"]);
    expect(named({})[0]).not.toBe("no-signal");
    expect(named({}).length).toBeGreaterThan(1);
  });
});

it("names with a cause what was seen and what speaks against it, and none of that else", () => {
  const of = (off: Readonly<Record<string, number>>) => {
    const input = read(off);
    const [first] = diagnosePath(input, serious, around);
    const path = buildPathEvidence(input, serious.findings, around);
    const own = listAlone(path).find(({ kind }) => kind.id === first.cause);
    const against = own && computeFit(path, own.prediction).against;
    return { first, own, against };
  };
  const plain = of({ gain: 3 });
  expect(plain.against).toEqual([]);
  expect(plain.first).not.toHaveProperty("against");
  expect(plain.first.evidence).toEqual(plain.own?.prediction.evidence);
  // A turned knob does not lift the noise by 8 dB.
  const noisy = of({ gain: 4, thd100: 2, hiss: 8 });
  expect(noisy.against).toMatchObject([{ code: "reading-otherwise", reading: "hiss" }]);
  expect(noisy.first.against).toEqual(noisy.against);
  expect(of({ humOdd: -21 }).first.evidence).toEqual([{ code: "fits-no-cause" }]);
});

describe("what is weighed", () => {
  it("is a path with more than remarks, and none that is only remarked on", () => {
    const input = read({ gain: 3 });
    const named = (...severities: readonly Severity[]) =>
      diagnosePath(input, ranked(...severities), around).length > 0;
    expect(named()).toBe(false);
    expect(named("remark")).toBe(false);
    expect(named("remark", "watch")).toBe(true);
    expect(named("watch", "remark")).toBe(true);
    // One that measures as another family in all is that family's, remarked on or not.
    const lineUsual = (off: Readonly<Record<string, number>>): FamilyStats => ({
      ...usual,
      readings: Object.fromEntries(
        Object.entries(usualOf).map(([id, median]) => [
          id,
          { count: 12, median: median + (off[id] ?? 0), scale: 0.3 },
        ]),
      ),
    });
    const far = { gain: -20, hiss: -15, noise: -15, thd: 12, thd100: 10, thdHot: 9, imd: 8 };
    const other = { ...around, others: [{ name: "line", usual: lineUsual(far) }] };
    const causes = (findings: readonly Severity[]) =>
      diagnosePath(read(far), ranked(...findings), other).map(({ cause }) => cause);
    expect(causes(["remark"])).toContain("wrong-path-recorded");
    expect(causes([])).toEqual([]);
    // Its own family's values are none of another's.
    expect(diagnosePath(read({}), ranked("remark"), other)).toEqual([]);
    // Two spreads off are no reason to give it away.
    const near = { ...around, others: [{ name: "line", usual: lineUsual({ gain: 1 }) }] };
    expect(diagnosePath(read({ gain: 1 }), ranked("remark"), near)).toEqual([]);
  });

  it("is shown whole: each reading that counts, and each cause with its parts", () => {
    const input = read({ gain: 4, hiss: 9 });
    const path = buildPathEvidence(input, serious.findings, around);
    const { features, causes, evidenceShare } = explainPath(input, serious, around);
    expect(evidenceShare).toBe(share);
    expect(features.find(({ id }) => id === "gain")).toEqual({
      id: "gain",
      ...path.features.get("gain"),
    });
    const alone = listAlone(path);
    expect(causes.length).toBe(alone.length + 1);
    for (const { kind, fit } of alone) {
      const shown = causes.find(({ id }) => id === kind.id);
      expect(shown).toMatchObject({ name: kind.name, prior: kind.prior });
      expect(shown?.logLikelihood).toBeCloseTo(fit, 9);
    }
    const none = causes.find(({ id }) => id === undefined);
    expect(none).toMatchObject({ prior: 0.03, parts: [], name: "none of the causes known here" });
    expect(none?.logLikelihood).toBeCloseTo(computeUnexplained(path), 9);
    const probabilities = causes.map(({ probability }) => probability);
    expect(probabilities).toEqual([...probabilities].sort((a, b) => b - a));
  });
});
