import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/** A live stage without a source: there is no return to fit, only its noise. */
export const nothingPatched: CauseKind<"nothing-patched"> = {
  id: "nothing-patched",
  name: "nothing patched, or the wrong socket",
  word: "unpatched",
  kind: "patch",
  shownBy: ["round"],
  answers: patchedAnew,
  settle: inUse(
    "patch this path again, watch the meter while the tone plays, and record it again",
    undefined,
    ["recording set-up", "tone 1 kHz"],
  ),
  tryNow: "is the plug in, and in this socket?",
  confusedWith: [
    {
      cause: "no-signal",
      check: "patch a source that certainly works: a dead path stays silent, a live one does not",
    },
  ],
};
