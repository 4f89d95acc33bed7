import { deviation, stands } from "../case.js";
import { anywhere, type CauseKind, hissMoves } from "../kind.js";

/** Leakage puts a direct voltage on a control or switch: scratch with every turn, and low noise. */
export const leakyCapacitor: CauseKind = {
  id: "leaky-capacitor",
  name: "leaky coupling capacitor: direct voltage on a control",
  kind: "fault",
  prior: 0.04,
  confirmBy:
    "turn gain and fader while listening at low level: scratch with every turn; then measure the direct voltage across the control",
  ready: "electrolytics of the strip's coupling values",
  predict(path) {
    const clicks = stands(path, "clicks", "up");
    const offset =
      Math.abs(deviation(path, "dc") ?? 0) > 0 &&
      (stands(path, "dc", "up") || stands(path, "dc", "down"));
    if (!clicks && !offset) return undefined;
    const evidence: string[] = [];
    if (offset) evidence.push("a direct voltage that its siblings have not");
    if (clicks) evidence.push("clicks in the silence");
    return {
      moves: {
        dc: anywhere,
        clicks: [-1, 200],
        instability: [-1, 20],
        noiseSlope: [-6, 1],
        ...hissMoves([-1, 15]),
      },
      evidence,
    };
  },
};
