import { anyDeviation, type CauseKind, predictHissRanges } from "../cause-kind.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** Leakage puts a direct voltage on a control or switch: scratch with every turn, and low noise. */
export const leakyCapacitor: CauseKind = {
  id: "leaky-capacitor",
  name: "leaky coupling capacitor: direct voltage on a control",
  kind: "fault",
  prior: 0.04,
  confirmBy:
    "turn gain and fader while listening at low level: scratch with every turn; then measure the direct voltage across the control",
  ready: "electrolytics of the strip's coupling values",
  confusedWith: [
    {
      cause: "noisy-device",
      check: "measure direct voltage across the control that follows: none, and it is the device",
    },
    {
      cause: "worn-gain-control",
      check: "a leak scratches along the whole track, a worn control at its worn spots",
    },
  ],
  predict(path) {
    const clicks = isOutlier(path, "clicks", "up");
    const offset =
      Math.abs(getDeviation(path, "dc") ?? 0) > 0 &&
      (isOutlier(path, "dc", "up") || isOutlier(path, "dc", "down"));
    const rumble = isOutlier(path, "noiseSlope", "down");
    if (!clicks && !offset && !rumble) return undefined;
    const evidence: string[] = [];
    if (rumble) evidence.push("noise that rises towards low frequency, as leakage makes it");
    if (offset) evidence.push("a direct voltage that its siblings have not");
    if (clicks) evidence.push("clicks in the silence");
    return {
      moves: {
        dc: anyDeviation,
        clicks: [-1, 200],
        noiseSlope: [-6, 1],
        // the control's operating point moves with the voltage on it
        thd: [-1, 15],
        thd100: [-1, 15],
        thdHot: [-1, 10],
        imd: [-1, 15],
        ...predictHissRanges([-1, 15]),
      },
      evidence,
    };
  },
};
