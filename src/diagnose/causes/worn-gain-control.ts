import { deviation, stands } from "../case.js";
import { type CauseKind, db, hissMoves, levelMoves } from "../kind.js";

/** A worn track or wiper: the level is off and does not hold still, with crackle when touched. */
export const wornGainControl: CauseKind = {
  id: "worn-gain-control",
  name: "worn or dirty gain control",
  kind: "fault",
  prior: 0.06,
  confirmBy:
    "turn the control to and fro a dozen times while the tone plays: crackle or jumps settle it",
  ready: "contact cleaner, a control of the same kind and value",
  predict(path) {
    const moved = deviation(path, "gain") ?? 0;
    const shaky = stands(path, "instability", "up") || stands(path, "clicks", "up");
    if (!shaky || Math.abs(moved) > 20) return undefined;
    return {
      moves: {
        ...levelMoves(moved),
        ...hissMoves([-Math.abs(moved) - 1, Math.abs(moved) + 12]),
        gain: [-20, 20],
        instability: [0, 200],
        clicks: [0, 200],
        linearity: [-1, 3],
      },
      evidence: [`the level does not hold still (gain ${db(moved)} against its siblings)`],
    };
  },
};
