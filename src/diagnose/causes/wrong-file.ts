import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/** Something else was recorded: music, speech, another signal. */
export const wrongFile: CauseKind<"wrong-file"> = {
  id: "wrong-file",
  name: "another recording under this name",
  word: "wrong file",
  kind: "capture",
  shownBy: ["round"],
  // Common practice, guesses.
  loudShares: { tone: 0.15, driven: 0.08, programme: 0.6 },
  answers: patchedAnew,
  settle: inUse("listen to the file: is it the test signal that you hear?"),
  tryNow: "listen to the file: is it the test signal?",
  confusedWith: [
    {
      cause: "feedback-howl",
      check: "listen to the file: howling is one steady tone",
    },
  ],
};
