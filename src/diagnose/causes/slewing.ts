import { inUse, powered, solderingRisk } from "../bench.js";
import { anyDeviation, formatDb, formatHz, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";
import { fitSlewLimit } from "../shapes.js";

const says = {
  "mixes-at-20-khz": ({ db }: { readonly db: number }) =>
    `two tones near 20 kHz intermodulate (${formatDb(db)}), while 1 kHz is as clean as its siblings'`,
  "treble-limited": ({ hz, at20kDb }: Readonly<Record<"hz" | "at20kDb", number>>) =>
    `treble falls abruptly from ${formatHz(hz)} on (${formatDb(at20kDb)} at 20 kHz): the slew rate is limited`,
} satisfies EvidenceWords;
const seen = createEvidence("slewing", says);

/**
 * A slew-limited output turns anything steeper into triangles: above some frequency the level falls
 * by 6 dB per octave, and two tones there intermodulate. Below that frequency, and at lower level,
 * nothing is distorted. Slew rate of a sine: 2πfA (circuit theory).
 */
export const slewing: PredictedCause<"slewing"> = {
  id: "slewing",
  name: "slewing: slow or overloaded stage",
  word: "slewing",
  kind: "fault",
  shownBy: ["round", "use"],
  prior: 0.03,
  answers: { "level-down": 0.9, "other-input": 0.3 },
  settle: inUse(
    "record the path again with 12 dB less level into it: treble that recovers was lost to slewing, treble that stays lost was lost to a resistance and a capacitance",
    undefined,
    ["recording set-up"],
  ),
  ready: "op amps of the strip's kinds, its compensation capacitors",
  confusedWith: [
    {
      cause: "high-loss",
      check: "lower the level by 12 dB: a loss by resistance and capacitance does not change",
    },
    {
      cause: "early-clipping",
      check: "play the loud tone at 100 Hz: clipping distorts it, slewing does not",
    },
  ],
  bench: {
    steps: [
      powered(
        "Play a 15 kHz tone at nominal level and look at the output of each op amp with an oscilloscope: the stage with straight slopes instead of a sine is the one",
        ["oscilloscope", "tone 15 kHz", "extender"],
      ),
      powered("Measure the supply rails at that stage: a stage short of current or volts is slow", [
        "multimeter",
        "extender",
      ]),
    ],
    repair: "Replace the op amp with the same type, or the part that loads it or sets its current.",
    parts: [
      { role: "op amp", count: 1 },
      { role: "small capacitor", count: 1 },
    ],
    minutes: 45,
    risks: solderingRisk,
    source: "slew rate of a sine, 2πfA: circuit theory; where to look: common practice, no source",
  },
  notes: [{ symptoms: { dull: 1, distorted: 1 } }],
  says,
  predict(path) {
    const twin = getDeviation(path, "imd");
    if (!path.response || twin === undefined || !isOutlier(path, "imd", "up")) return undefined;
    // Slewing leaves 1 kHz clean.
    if (isOutlier(path, "thd", "up")) return undefined;
    const fit = fitSlewLimit(path.response);
    const at20kDb = fit.shape(20_000);
    return {
      moves: {
        imd: [3, 120],
        thd: [-1, 3],
        thd100: [-1, 2],
        thdHot: [-1, 60],
        compression: [-14, 0.3],
        headroom: [-20, 0.5],
        hiss: [-3, 1],
        noiseA: [-3, 1],
        noise: [-3, 1],
        dc: anyDeviation,
      },
      response: fit.shape,
      fitted: 1,
      evidence: [
        seen("mixes-at-20-khz", { db: twin }),
        ...(at20kDb < -0.3 ? [seen("treble-limited", { hz: fit.hz, at20kDb })] : []),
      ],
    };
  },
};
