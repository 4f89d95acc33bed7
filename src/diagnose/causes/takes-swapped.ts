import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/** Two recordings saved under each other's names: seen only from both paths together. */
export const takesSwapped: CauseKind<"takes-swapped"> = {
  id: "takes-swapped",
  name: "two takes swapped",
  word: "swapped",
  kind: "patch",
  shownBy: ["round"],
  answers: patchedAnew,
  settle: inUse(
    "compare the two files' times with the order on the run sheet: if only the names are swapped, rename the files and analyze them again; if not, record both paths again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "check which socket the plug is in",
  confusedWith: [
    {
      cause: "wrong-path-recorded",
      check: "record one of the two again: the other still measures like its neighbour",
    },
  ],
};
