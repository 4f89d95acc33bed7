import { commonPractice, inUse, powered, solderingRisk } from "../bench.js";
import type { BenchedCause } from "../cause-kind.js";
import { anyAnswer } from "../checks/check-kinds.js";

/** What stands out fits none of the known causes. */
export const noneOfThese: BenchedCause<"none-of-these"> = {
  id: "none-of-these",
  name: "none of the causes known here",
  word: "unknown",
  kind: "fault",
  shownBy: ["round", "use"],
  answers: anyAnswer,
  settle: inUse("record the path again first; then follow the signal stage by stage", undefined, [
    "recording set-up",
  ]),
  confusedWith: [],
  bench: {
    steps: [
      powered(
        "Follow the tone stage by stage with an insulated probe, and compare each stage with a sibling's",
        ["listening probe", "tone 1 kHz", "extender"],
      ),
    ],
    repair: "Repair the stage where the signal first differs from the sibling's.",
    parts: [],
    minutes: 45,
    risks: solderingRisk,
    source: commonPractice,
  },
};
