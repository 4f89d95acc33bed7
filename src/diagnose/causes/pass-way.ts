import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A part that several paths went through in their pass: seen only from all of them together. */
export const passWay: CauseKind<"pass-way"> = {
  id: "pass-way",
  name: "output, cable or bus of its pass",
  word: "output/bus",
  kind: "patch",
  shownBy: ["round"],
  // Swapping plugs with a sibling also swaps output and cable.
  answers: { cable: 0.9, switches: 0.1, again: 0.05 },
  settle: inUse(
    "play this path from another output through another cable, routed to another bus if it has one: a fault that goes away is not in the strip",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "try another output and cable",
  confusedWith: [
    {
      cause: "polarity-reversed",
      check: "feed the path from another output: a fault in the strip stays",
    },
  ],
};
