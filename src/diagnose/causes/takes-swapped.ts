import type { CauseWords } from "../cause-kind.js";

/** Two recordings under one another's names: seen from both paths together, never from one. */
export const takesSwapped: CauseWords = {
  id: "takes-swapped",
  name: "two takes swapped",
  kind: "patch",
  confirmBy:
    "hold the two files' times against the order on the run sheet: if only the names are changed over, rename them and analyze again; else record both paths again",
  confusedWith: [
    {
      cause: "wrong-path-recorded",
      check: "record one of the two again: the other still measures as its neighbour does",
    },
  ],
};
