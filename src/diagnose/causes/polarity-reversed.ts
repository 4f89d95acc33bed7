import { commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import { type PredictedCause, predictLevelRanges } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation } from "../path-evidence.js";

const says = {
  inverted: () => "the return is inverted against its siblings",
} satisfies EvidenceWords;
const seen = createEvidence("polarity-reversed", says);

/** Swapping pins 2 and 3 inverts the signal and does nothing else. */
export const polarityReversed: PredictedCause<"polarity-reversed"> = {
  id: "polarity-reversed",
  name: "polarity reversed: switch, cable or wiring",
  word: "polarity",
  kind: "fault",
  sharedAspect: "polarity",
  shownBy: ["round", "use"],
  seat: ["socket", "input stage"],
  prior: 0.05,
  answers: { cable: 0.2, "other-input": 0.8 },
  settle: inUse(
    "check the polarity switch and swap the cable with a sibling's; if it stays, pins 2 and 3 are swapped in the wiring",
    undefined,
    ["good cable"],
  ),
  tryNow: "is the polarity switch out? Try another cable",
  confusedWith: [
    {
      cause: "wrong-path-recorded",
      check:
        "look at the polarity switch first, then swap the cable: one of the two is the usual reason",
    },
  ],
  bench: {
    steps: [unplugged("Look at pins 2 and 3 of the socket and at both ends of the ribbon")],
    repair: "Swap the two legs; replace nothing.",
    parts: [],
    minutes: 20,
    risks: solderingRisk,
    source: commonPractice,
  },
  says,
  predict(path) {
    const turned = getDeviation(path, "polarity");
    if (turned === undefined || Math.abs(turned) < 1) return undefined;
    return {
      moves: { ...predictLevelRanges(0), polarity: [turned, turned] },
      evidence: [seen("inverted")],
    };
  },
};
