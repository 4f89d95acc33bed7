import { deviation, stands } from "../case.js";
import { anywhere, type CauseKind, db } from "../kind.js";

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
    const hot = deviation(path, "thdHot");
    const headroom = deviation(path, "headroom");
    const squeezed = deviation(path, "compression") ?? 0;
    const clips =
      stands(path, "thdHot", "up") ||
      stands(path, "headroom", "down") ||
      stands(path, "compression", "down");
    if (!clips) return undefined;
    const nominal = deviation(path, "thd") ?? 0;
    if (hot !== undefined && hot < nominal - 3) return undefined;
    const evidence: string[] = [];
    if (hot !== undefined && stands(path, "thdHot", "up")) {
      evidence.push(
        `distortion ${db(hot)} 12 dB above nominal, ${db(nominal)} at nominal: it grows with level`,
      );
    }
    if (squeezed < -0.2) evidence.push(`level falls behind by ${db(squeezed)} 12 dB above nominal`);
    if (headroom !== undefined && headroom < -1) evidence.push(`headroom ${db(headroom)}`);
    return {
      moves: {
        thdHot: [Math.min(3, hot ?? 3), 75],
        compression: [-14, 0.2],
        headroom: [-30, -0.5],
        thd: [-1, 60],
        thd100: [-1, 60],
        imd: [-1, 60],
        linearity: [-1, 2],
        dc: anywhere,
        gain: [-1, 0.5],
      },
      evidence,
    };
  },
};
