import { type CauseKind, formatDb, predictHissRanges, predictLevelRanges } from "../cause-kind.js";
import { findLevelJumps, getDeviation, isOutlier } from "../path-evidence.js";

/** A worn track or wiper: the level is off and does not hold still, with crackle when touched. */
/** What a wiper's contact may wander by between tones without a jump, decibels. */
const driftDb = 2;

export const wornGainControl: CauseKind = {
  id: "worn-gain-control",
  name: "worn or dirty gain control",
  kind: "fault",
  prior: 0.06,
  confirmBy:
    "turn the control to and fro a dozen times while the tone plays: crackle or jumps settle it",
  ready: "contact cleaner, a control of the same kind and value",
  confusedWith: [
    {
      cause: "dirty-contact",
      check:
        "leave the control alone and work the switches and the plug: a control crackles only when it is turned",
    },
    {
      cause: "leaky-capacitor",
      check:
        "measure direct voltage across the control: above some 20 mV it is the capacitor before it",
    },
  ],
  predict(path) {
    const moved = getDeviation(path, "gain") ?? 0;
    const jumps = findLevelJumps(path);
    const shaky =
      jumps !== undefined ||
      isOutlier(path, "instability", "up") ||
      isOutlier(path, "clicks", "up");
    if (!shaky || Math.abs(moved) > 20) return undefined;
    const distortion = 2 * Math.min(0, moved) - 4;
    return {
      moves: {
        ...predictLevelRanges(moved),
        // a wiper that makes and breaks adds crackle, strongest at low frequency
        ...predictHissRanges([-Math.abs(moved) - 1, Math.abs(moved) + 60]),
        noiseSlope: [-15, 2],
        // crackle falls into the harmonics of low tones, and hardly near 20 kHz
        thd: [distortion, 25],
        thd100: [distortion, 55],
        thdHot: [distortion, 15],
        imd: [distortion, 6],
        compression: [-3, 3],
        gain: [-20, 20],
        instability: [0, 200],
        clicks: [0, 200],
        linearity: [-3, 3],
      },
      wander: jumps ?? driftDb,
      evidence: [`the level does not hold still (gain ${formatDb(moved)} against its siblings)`],
    };
  },
};
