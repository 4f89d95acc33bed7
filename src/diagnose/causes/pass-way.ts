import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/** What a path went through in its pass and others with it: seen from all of them together. */
export const passWay: CauseKind<"pass-way"> = {
  id: "pass-way",
  name: "output, cable or bus of its pass",
  word: "output/bus",
  kind: "patch",
  shownBy: ["round"],
  answers: patchedAnew,
  settle: inUse(
    "play this path from another output through another cable, routed to another bus if it has one: what goes away is not the strip's",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "try another output and cable",
  confusedWith: [
    {
      cause: "polarity-reversed",
      check: "feed the path from another output: what a strip has stays with it",
    },
  ],
};
