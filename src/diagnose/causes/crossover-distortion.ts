import { commonPractice, inUse, powered, solderingRisk, unplugged } from "../bench.js";
import { computeHotRise } from "../bend-law.js";
import { formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import {
  findLevelJumps,
  getDeviation,
  hasFlutter,
  isOutlier,
  swallowsSmall,
} from "../path-evidence.js";

/**
 * A gap takes a quarter of the share from a swing four times as large, so that distortion falls by
 * 12 dB (circuit theory); by at least this much with other nonlinearity beside it, decibels.
 */
const leastFallDb = 3;

const says = {
  "small-swallowed": () => "small signals vanish where large ones pass, and the level is steady",
  "falls-with-level": ({ nominalDb, hotDb }: Readonly<Record<"nominalDb" | "hotDb", number>>) =>
    `distortion falls with level: ${formatDb(nominalDb)} at nominal, ${formatDb(hotDb)} 12 dB above, and the level is steady`,
} satisfies EvidenceWords;
const seen = createEvidence("crossover-distortion", says);

/**
 * A gap between the halves of an output stage cuts the same piece out of every swing: distortion is
 * worst at low level and falls as the level rises, while the level itself stays steady.
 */
export const crossoverDistortion: PredictedCause<"crossover-distortion"> = {
  id: "crossover-distortion",
  name: "crossover distortion: op amp, its load, a contact or the mute element",
  word: "crossover",
  kind: "fault",
  shownBy: ["round", "use"],
  prior: 0.04,
  answers: { "level-down": 0.05, "other-input": 0.2 },
  settle: inUse(
    "work the strip's switches, insert and mute a dozen times and record again: distortion that changes comes from a contact or the mute element, distortion that stays from the op amp or its load",
    undefined,
    ["recording set-up"],
  ),
  ready: "the op amp of the stage; in a discrete output stage its bias diodes and transistors",
  confusedWith: [
    {
      cause: "dirty-contact",
      check: "work switch and plug a dozen times: crossover distortion stays as it is",
    },
    {
      cause: "oscillation",
      check: "crossover distortion adds no noise while nothing plays, oscillation does",
    },
    {
      cause: "mute-element",
      check: "measure before and after the mute: only there does the element add distortion",
    },
  ],
  bench: {
    steps: [
      powered(
        "Play the tone at low level and follow it from op amp to op amp with an oscilloscope: look for the stage after which the waveform is flat at its zero crossings",
        ["oscilloscope", "tone 1 kHz", "extender"],
      ),
      powered(
        "In a discrete output stage, and only there, measure the bias voltage across the emitter resistors once the desk is warm",
        ["multimeter", "extender"],
      ),
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance that the op amp of that stage works into, and compare with a sibling: too low a load resistance has the same effect",
        undefined,
        ["multimeter"],
      ),
    ],
    repair:
      "Replace the op amp of the stage, or the part that loads it; in a discrete output stage the bias diodes and transistors.",
    parts: [
      { role: "op amp", count: 1 },
      { role: "bias parts", count: 1 },
    ],
    minutes: 50,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { distorted: 2 } }],
  says,
  predict(path) {
    const nominal = getDeviation(path, "thd");
    if (nominal === undefined) return undefined;
    // A small gap distorts nominal levels by less than siblings scatter, but swallows small
    // signals.
    const small = !isOutlier(path, "thd", "up");
    if (small && !swallowsSmall(path)) return undefined;
    // A gap does not make the level fluctuate: a contact does.
    if (hasFlutter(path) || isOutlier(path, "instability", "up")) return undefined;
    if (findLevelJumps(path) !== undefined) return undefined;
    const hot = getDeviation(path, "thdHot") ?? 0;
    if (!small && nominal < hot + 3) return undefined;
    // Distortion that is as high at a higher level does not come from the gap.
    const rise = computeHotRise(path);
    const risen = rise === undefined ? 0 : Math.max(0, rise + leastFallDb);
    return {
      moves: {
        thd: [small ? 0 : 3, 70],
        thd100: [small ? 0 : 3, 70],
        thdHot: [-1, small ? 2 : Math.max(2, hot - risen)],
        imd: [0, 60],
        gain: [-2, 0.3],
        // small signals vanish in the gap
        linearity: [-60, 1],
        compression: [-0.2, 2],
        // the gap swallows noise too, its peaks least
        burstiness: [-1, 30],
        hiss: [-30, 1],
        noiseA: [-30, 1],
        noise: [-30, 1],
        hum: [-30, 1],
        humOdd: [-30, 1],
        humEven: [-30, 1],
      },
      evidence: [
        small
          ? seen("small-swallowed")
          : seen("falls-with-level", { nominalDb: nominal, hotDb: hot }),
      ],
    };
  },
};
