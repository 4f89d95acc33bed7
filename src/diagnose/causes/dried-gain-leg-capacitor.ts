import { commonPractice, inUse, onBench, polarityRisk, solderingRisk } from "../bench.js";
import { findLostCapacitance } from "../capacitance.js";
import { bendsFromHz, findBendAt1k } from "../capacitor-bend.js";
import { type DeviationRange, formatDb, formatHz, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";
import { fitFallingShelf } from "../shapes.js";

/**
 * The capacitor in series with the gain resistor of a non-inverting stage: below its corner the
 * gain falls at first order towards one, which gives a shelf in a stage of low gain. In a stage of
 * high gain it carries only the input's millivolts and hardly distorts; its corner moves when the
 * gain is turned.
 */
const leastCornerHz = 2;
/** Sources below this level, dBu, go through a stage of high gain. */
const highGainDbu = -10;
/** A shelf has to fit this much better than a roll-off that does not level out, decibels r.m.s. */
const leastGainedDb = 0.1;
/** A stage of low gain has no more than this to lose, decibels (common practice). */
const mostLineGainDb = 20;
/** A fall that comes this close to the stage's gain would have begun to level out, decibels. */
const levelsFromDb = 6;

const says = {
  "low-end-levels": ({ db, hz }: Readonly<Record<"db" | "hz", number>>) =>
    `low end falls by ${formatDb(db)} and levels out, first order near ${formatHz(hz)}: the stage is left with a gain of one`,
  "low-end-falls": ({ cornerHz, at20Db }: Readonly<Record<"cornerHz" | "at20Db", number>>) =>
    `low end rolls off at 6 dB per octave, like a single capacitor, corner near ${formatHz(cornerHz)} (${formatDb(at20Db)} at 20 Hz)`,
  "bends-no-100-hz": () =>
    "no more distortion at 100 Hz than its siblings: little voltage drops across the capacitor",
  "bends-100-hz": ({ db }: { readonly db: number }) =>
    `distortion at 100 Hz ${formatDb(db)}: a switch or a filter would not add it`,
} satisfies EvidenceWords;
const seen = createEvidence("dried-gain-leg-capacitor", says);

export const driedGainLegCapacitor: PredictedCause<"dried-gain-leg-capacitor"> = {
  id: "dried-gain-leg-capacitor",
  name: "dried capacitor in a gain or feedback leg",
  word: "capacitor",
  kind: "fault",
  shownBy: ["round", "use"],
  seat: ["input stage"],
  prior: 0.1,
  answers: { "gain-down": 0.95, "other-input": 0.95 },
  settle: inUse(
    "record again with 10 dB less gain: a corner that moves down is in the gain leg, one that stays is a coupling capacitor",
    undefined,
    ["recording set-up"],
  ),
  confusedWith: [
    {
      cause: "dried-coupling-capacitor",
      check: "record again with 10 dB less gain: the corner of a gain leg moves down",
    },
    {
      cause: "equaliser-left-in",
      check:
        "switch the equaliser out: a shelf that remains and distorts low tones comes from the capacitor",
    },
  ],
  ready: "electrolytics of the gain stage's values",
  bench: {
    steps: [
      onBench(
        "With the desk off, unplugged and discharged, measure the capacitance of the capacitor under the gain resistor, one end lifted: it reads low",
        undefined,
        ["capacitance meter"],
      ),
    ],
    repair:
      "Replace that capacitor with one of the same value and voltage rating as in the neighbouring strips.",
    parts: [{ role: "gain leg capacitor", count: 1 }],
    minutes: 25,
    risks: [...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [{ symptoms: { thin: 3 } }],
  says,
  predict(path) {
    const lost = findLostCapacitance(path);
    if (!path.response || !lost) return undefined;
    const fall = lost.fit;
    const highGain = path.inputDbu !== undefined && path.inputDbu < highGainDbu;
    const shelf = highGain ? undefined : fitFallingShelf(path.response);
    const levels = shelf !== undefined && shelf.restDb < fall.restDb - leastGainedDb;
    const fit = levels ? shelf : fall;
    if (fit.hz < leastCornerHz || fit.hz > 900) return undefined;
    const little = path.inputDbu !== undefined && !highGain;
    const deepest = fall.shape(path.response.x[0]);
    if (little && !levels && deepest < levelsFromDb - mostLineGainDb) return undefined;
    const distortion = getDeviation(path, "thd100");
    const evidence: Evidence[] = levels
      ? [seen("low-end-levels", { db: fit.db, hz: fit.hz })]
      : [
          seen("low-end-falls", { cornerHz: lost.cornerHz, at20Db: fall.shape(20) }),
          ...lost.evidence,
        ];
    if (distortion !== undefined && distortion < 3) {
      evidence.push(seen("bends-no-100-hz"));
    } else if (distortion !== undefined && !highGain) {
      evidence.push(seen("bends-100-hz", { db: distortion }));
    }
    const carries = little && distortion !== undefined && fit.hz >= bendsFromHz;
    const silent = carries && !isOutlier(path, "thd100", "up");
    const low: DeviationRange = highGain ? [-3, 6] : [-3, 50];
    const at1k = highGain ? 3 : 8 + 50 * Math.max(0, Math.log10(fit.hz / 50));
    const most = findBendAt1k(path, fit.hz);
    // A shelf without distortion is an equaliser's.
    const bent: DeviationRange = levels ? [3, low[1]] : low;
    return {
      moves: {
        thd100: bent,
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
      fitted: levels || silent ? 2 : 1,
      evidence,
    };
  },
};
