import { commonPractice, onBench, polarityRisk, powered, solderingRisk } from "../bench.js";
import { findLostCapacitance } from "../capacitance.js";
import { bendsFromHz, findBendAt1k } from "../capacitor-bend.js";
import { formatDb, formatHz, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/**
 * A capacitor in series with a resistance is a first-order high-pass at 1/(2πRC): less capacitance
 * moves the corner up in inverse proportion, 6 dB per octave below it. At low frequency the signal
 * voltage then drops across the capacitor, and an electrolytic distorts it.
 */
const leastCornerHz = 2;

const says = {
  "low-end-falls": ({ cornerHz, at20Db }: Readonly<Record<"cornerHz" | "at20Db", number>>) =>
    `low end rolls off at 6 dB per octave, like a single capacitor, corner near ${formatHz(cornerHz)} (${formatDb(at20Db)} at 20 Hz)`,
  "bends-100-hz": ({ db }: { readonly db: number }) =>
    `distortion at 100 Hz ${formatDb(db)}: signal voltage drops across the capacitor`,
} satisfies EvidenceWords;
const seen = createEvidence("dried-coupling-capacitor", says);

export const driedCouplingCapacitor: PredictedCause<"dried-coupling-capacitor"> = {
  id: "dried-coupling-capacitor",
  name: "dried coupling capacitor",
  word: "capacitor",
  kind: "fault",
  sharedAspect: "bass",
  shownBy: ["round", "use"],
  prior: 0.12,
  answers: { "other-input": 0.4 },
  settle: powered(
    "play a 30 Hz tone and measure the level on both sides of each coupling capacitor with an insulated probe: it drops across the dried-out one",
    ["ac voltmeter", "tone 30 Hz", "extender"],
  ),
  confusedWith: [
    {
      cause: "dried-gain-leg-capacitor",
      check: "record again with 10 dB less gain: the corner of a coupling capacitor does not move",
    },
    {
      cause: "low-cut-left-in",
      check:
        "switch the low-cut in and out: a filter falls 12 or 18 dB per octave and does not distort",
    },
  ],
  ready: "electrolytics of the strip's coupling values",
  bench: {
    steps: [
      onBench(
        "With the desk off, unplugged and discharged, measure the capacitance of each coupling capacitor of this path, one end lifted: the dried-out one reads low",
        undefined,
        ["capacitance meter"],
      ),
    ],
    repair:
      "Replace the dried-out one and the others of its age on the strip, with the voltage rating and size as in the neighbouring strips.",
    parts: [{ role: "coupling capacitor", count: 4 }],
    minutes: 35,
    risks: ["never bridge a capacitor under power", ...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [{ symptoms: { thin: 5 } }],
  says,
  predict(path) {
    const lost = findLostCapacitance(path);
    if (!lost || lost.fit.hz < leastCornerHz) return undefined;
    const { fit, cornerHz } = lost;
    const evidence: Evidence[] = [
      seen("low-end-falls", { cornerHz, at20Db: fit.shape(20) }),
      ...lost.evidence,
    ];
    const distortion = getDeviation(path, "thd100");
    if (distortion !== undefined && isOutlier(path, "thd100", "up")) {
      evidence.push(seen("bends-100-hz", { db: distortion }));
    }
    // The share of the signal across it at 1 kHz is proportional to the corner, and its distortion
    // to the square or the cube of that share.
    const at1k = 12 + 50 * Math.max(0, Math.log10(fit.hz / 50));
    const most = findBendAt1k(path, cornerHz);
    // An electrolytic distorts the voltage across it; a film capacitor does not, but is rarer.
    const carries = distortion !== undefined && fit.hz >= bendsFromHz;
    const bends = carries && isOutlier(path, "thd100", "up");
    return {
      moves: {
        thd100: bends ? [2, 65] : [-2, 65],
        thd: [-1, Math.min(at1k, most?.nominalDb ?? at1k)],
        thdHot: [-1, Math.min(at1k, most?.loudDb ?? at1k)],
        gain: [-10 * Math.log10(1 + (fit.hz / 1000) ** 2) - 0.5, 0],
        noise: [-12, 1],
        hum: [-12, 1],
        humOdd: [-12, 1],
        humEven: [-8, 1],
        noiseSlope: [-0.5, 6],
      },
      response: fit.shape,
      fitted: carries && !bends ? 2 : 1,
      evidence,
    };
  },
};
