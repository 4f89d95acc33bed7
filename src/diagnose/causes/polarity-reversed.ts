import { type CauseKind, predictLevelRanges } from "../cause-kind.js";
import { getDeviation } from "../path-evidence.js";

/** Pins 2 and 3 changed over turn the signal upside down and do nothing else. */
export const polarityReversed: CauseKind = {
  id: "polarity-reversed",
  name: "polarity reversed: switch, cable or wiring",
  kind: "fault",
  prior: 0.05,
  confirmBy:
    "check the polarity switch and swap the cable with a sibling's; if it stays, pins 2 and 3 are changed over in the wiring",
  confusedWith: [
    {
      cause: "wrong-path-recorded",
      check:
        "look at the polarity switch first, then swap the cable: one of the two is the usual reason",
    },
  ],
  predict(path) {
    const turned = getDeviation(path, "polarity");
    if (turned === undefined || Math.abs(turned) < 1) return undefined;
    return {
      moves: { ...predictLevelRanges(0), polarity: [turned, turned] },
      evidence: ["the return is upside down against its siblings"],
    };
  },
};
