import { findingOn } from "../case.js";
import type { CauseKind } from "../kind.js";

export const polarityReversed: CauseKind = {
  id: "polarity-reversed",
  name: "polarity reversed: switch, cable or wiring",
  kind: "fault",
  confirmBy:
    "check the polarity switch and swap the cable with a sibling's; if it stays, pins 2 and 3 are swapped in the wiring",
  judge(path) {
    if (!findingOn(path, ["polarity"], "either")) return undefined;
    return { weight: 0.9, evidence: ["the return is upside down against its siblings"] };
  },
};
