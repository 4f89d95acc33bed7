import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/** Two recordings under one another's names: seen from both paths together, never from one. */
export const takesSwapped: CauseKind<"takes-swapped"> = {
  id: "takes-swapped",
  name: "two takes swapped",
  word: "swapped",
  kind: "patch",
  shownBy: ["round"],
  answers: patchedAnew,
  settle: inUse(
    "compare the two files' times with the order on the run sheet: if only the names are swapped, rename them and analyze again; else record both paths again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "look which socket the plug is in",
  confusedWith: [
    {
      cause: "wrong-path-recorded",
      check: "record one of the two again: the other still measures as its neighbour does",
    },
  ],
};
