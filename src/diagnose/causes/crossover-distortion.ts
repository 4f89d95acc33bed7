import { type CauseKind, formatDb } from "../cause-kind.js";
import { findLevelJumps, getDeviation, hasFlutter, isOutlier } from "../path-evidence.js";

/**
 * A gap between the halves of an output stage cuts the same piece out of every swing: distortion
 * is worst at low level and falls as level rises, while the level itself holds still.
 */
export const crossoverDistortion: CauseKind = {
  id: "crossover-distortion",
  name: "crossover distortion in an output stage",
  kind: "fault",
  prior: 0.04,
  confirmBy:
    "measure the bias across the output stage's emitter resistors, desk on its feet and warm",
  ready: "bias diodes and transistors of the output stage",
  care: "measuring under power: one hand, insulated probe; supply work is for licensed people",
  confusedWith: [
    {
      cause: "dirty-contact",
      check: "work switch and plug a dozen times: a gap in an output stage stays as it is",
    },
    { cause: "oscillation", check: "a gap makes no noise in silence, an oscillation does" },
  ],
  predict(path) {
    const nominal = getDeviation(path, "thd");
    if (nominal === undefined || !isOutlier(path, "thd", "up")) return undefined;
    // No gap moves the level: what does not hold still is a contact's.
    if (hasFlutter(path) || isOutlier(path, "instability", "up")) return undefined;
    if (findLevelJumps(path) !== undefined) return undefined;
    const hot = getDeviation(path, "thdHot") ?? 0;
    if (nominal < hot + 3) return undefined;
    return {
      moves: {
        thd: [3, 70],
        thd100: [3, 70],
        thdHot: [-1, nominal - 3],
        imd: [0, 60],
        gain: [-2, 0.3],
        // small signals vanish in the gap
        linearity: [-60, 1],
        compression: [-0.2, 2],
        // the gap swallows noise too
        hiss: [-30, 1],
        noiseA: [-30, 1],
        noise: [-30, 1],
        hum: [-30, 1],
        humOdd: [-30, 1],
        humEven: [-30, 1],
      },
      evidence: [
        `distortion falls with level: ${formatDb(nominal)} at nominal, ${formatDb(hot)} 12 dB above, and the level holds still`,
      ],
    };
  },
};
