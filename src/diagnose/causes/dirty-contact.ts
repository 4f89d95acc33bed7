import { deviation, stands } from "../case.js";
import { anywhere, type CauseKind, db, hissMoves } from "../kind.js";

/**
 * An oxide film between metals: a resistance that wanders, and a threshold that small signals
 * hardly cross, so that distortion falls as level rises.
 */
export const dirtyContact: CauseKind = {
  id: "dirty-contact",
  name: "dirty switch or normalling jack contact",
  kind: "fault",
  prior: 0.06,
  confirmBy:
    "work the switch or plug a dozen times and record again; wiggle the plug while the tone plays",
  ready: "contact cleaner, a burnishing strip",
  predict(path) {
    const shaky = stands(path, "instability", "up") || stands(path, "clicks", "up");
    const nominal = deviation(path, "thd");
    const hot = deviation(path, "thdHot") ?? 0;
    // A film's threshold swallows small signals before it distorts large ones.
    const falls = nominal !== undefined && stands(path, "thd", "up") && nominal > hot + 3;
    if (!shaky && !falls) return undefined;
    const evidence: string[] = [];
    if (shaky) evidence.push("the level does not hold still");
    if (falls) {
      evidence.push(
        `distortion falls with level: ${db(nominal)} at nominal, ${db(hot)} 12 dB above`,
      );
    }
    return {
      moves: {
        gain: [-12, 0.5],
        thd: [0, 70],
        thd100: [0, 70],
        thdHot: [-1, Math.max(2, (nominal ?? 60) - 2)],
        imd: [0, 60],
        linearity: [-60, 2],
        compression: [-0.5, 8],
        instability: [0, 200],
        clicks: [0, 200],
        ...hissMoves([-30, 15]),
        dc: anywhere,
      },
      evidence,
    };
  },
};
