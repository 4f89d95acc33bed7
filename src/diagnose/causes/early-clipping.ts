import { anyDeviation, type CauseKind, formatDb } from "../cause-kind.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** A stage that has lost rail or bias runs out of swing: distortion grows with level. */
export const earlyClipping: CauseKind = {
  id: "early-clipping",
  name: "early or one-sided clipping: missing rail or resistor off value",
  kind: "fault",
  prior: 0.06,
  confirmBy:
    "measure the supply rails at the strip's op amps, then the bias and feedback resistors in place",
  ready: "op amps and resistors of the strip's values, its supply fuse or feed resistors",
  care: "rails are measured under power: leave supply work to licensed people and follow local codes",
  confusedWith: [
    {
      cause: "oscillation",
      check: "look at the waveform: a missing rail flattens one side and is clean below it",
    },
    {
      cause: "gain-off",
      check: "set the gain to its mark: a stage driven harder clips earlier too",
    },
  ],
  predict(path) {
    const hot = getDeviation(path, "thdHot");
    const headroom = getDeviation(path, "headroom");
    const squeezed = getDeviation(path, "compression") ?? 0;
    const clips =
      isOutlier(path, "thdHot", "up") ||
      isOutlier(path, "headroom", "down") ||
      isOutlier(path, "compression", "down");
    if (!clips) return undefined;
    const nominal = getDeviation(path, "thd") ?? 0;
    if (hot !== undefined && hot < nominal - 3) return undefined;
    const evidence: string[] = [];
    if (hot !== undefined && isOutlier(path, "thdHot", "up")) {
      evidence.push(
        `distortion ${formatDb(hot)} 12 dB above nominal, ${formatDb(nominal)} at nominal: it grows with level`,
      );
    }
    if (squeezed < -0.2)
      evidence.push(`level falls behind by ${formatDb(squeezed)} 12 dB above nominal`);
    if (headroom !== undefined && headroom < -1) evidence.push(`headroom ${formatDb(headroom)}`);
    return {
      moves: {
        thdHot: [Math.min(3, hot ?? 3), 75],
        compression: [-14, 0.2],
        headroom: [-30, -0.5],
        thd: [-1, 60],
        thd100: [-1, 60],
        imd: [-1, 60],
        linearity: [-1, 2],
        dc: anyDeviation,
        gain: [-1, 0.5],
      },
      evidence,
    };
  },
};
