import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** What a path went through in its pass and others with it: seen from all of them together. */
export const passWay: CauseKind<"pass-way"> = {
  id: "pass-way",
  name: "output, cable or bus of its pass",
  word: "output/bus",
  kind: "patch",
  shownBy: ["round"],
  // A sibling's plug brings its output and its cable along.
  answers: { cable: 0.9, switches: 0.1, again: 0.05 },
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
