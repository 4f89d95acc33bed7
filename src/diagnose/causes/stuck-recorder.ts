import { inUse } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";
import { patchedAnew } from "../checks/check-kinds.js";

/**
 * A hung converter or driver repeats one value, jumps between full-scale values, or repeats old
 * samples.
 */
export const stuckRecorder: CauseKind<"stuck-recorder"> = {
  id: "stuck-recorder",
  name: "stuck converter or recorder",
  word: "recorder",
  kind: "capture",
  shownBy: ["round"],
  // Common practice, guesses.
  loudShares: { stuck: 0.55, driven: 0.15 },
  answers: patchedAnew,
  settle: inUse(
    "record a path that is known to be good on the same input of the interface: if that fails too, switch the interface off and on again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "listen to the interface's input, then switch the interface off and on again",
  confusedWith: [
    {
      cause: "op-amp-latched",
      check: "measure the DC voltage at the desk's output: volts there come from the desk",
    },
  ],
};
