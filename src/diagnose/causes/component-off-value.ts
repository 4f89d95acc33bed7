import { commonPractice, polarityRisk, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A part that the meter showed to be out of tolerance. */
export const componentOffValue: CauseKind<"component-off-value"> = {
  id: "component-off-value",
  name: "part off value",
  word: "off value",
  kind: "fault",
  shownBy: ["meter"],
  settle: unplugged(
    "with the desk off, unplugged and discharged, lift one end of the part and measure it again",
    undefined,
    ["multimeter", "capacitance meter"],
  ),
  confusedWith: [
    {
      cause: "none-of-these",
      check: "lift one end: a part that then reads right was measured with others in parallel",
    },
  ],
  bench: {
    steps: [],
    repair: "Replace the part with one of the same nominal value, voltage rating and size.",
    parts: [],
    minutes: 20,
    risks: [...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
};
