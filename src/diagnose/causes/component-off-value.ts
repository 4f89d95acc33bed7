import { commonPractice, polarityRisk, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A part that the meter showed to be off its value. */
export const componentOffValue: CauseKind<"component-off-value"> = {
  id: "component-off-value",
  name: "part off value",
  word: "off value",
  kind: "fault",
  shownBy: ["meter"],
  settle: unplugged(
    "measure again with the desk off, unplugged and discharged, one end of the part lifted",
    undefined,
    ["multimeter", "capacitance meter"],
  ),
  confusedWith: [
    {
      cause: "none-of-these",
      check:
        "lift one end: a part that then reads right was measured with its neighbours in parallel",
    },
  ],
  bench: {
    steps: [],
    repair: "Replace what is off value with a part of the same nominal value, voltage and size.",
    parts: [],
    minutes: 20,
    risks: [...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
};
