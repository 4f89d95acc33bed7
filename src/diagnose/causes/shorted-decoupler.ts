import { commonPractice, onBench, polarityRisk, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * A tantalum or decoupling capacitor that shorts a rail: it and the feed resistor get hot, and the
 * rail is down.
 */
export const shortedDecoupler: CauseKind<"shorted-decoupler"> = {
  id: "shorted-decoupler",
  name: "shorted tantalum or decoupling capacitor",
  word: "short",
  kind: "fault",
  shownBy: ["eyes and nose", "meter"],
  settle: unplugged(
    "with the desk off, unplugged and discharged, measure the resistance from each rail to ground at the strip, and compare with a sibling: a few ohms are a short",
    "if there is smoke or a smell of burning, switch off, pull the plug and leave that strip without power until the part is found",
    ["multimeter"],
  ),
  ready: "decoupling capacitors and feed resistors of the strip's values",
  care: "a shorted tantalum can burn: leave the strip without power until it is found",
  confusedWith: [
    {
      cause: "supply-rail-off",
      check:
        "measure from rail to ground with the desk off, unplugged and discharged: a blown fuse alone leaves the usual resistance there",
    },
  ],
  bench: {
    steps: [
      onBench(
        "Look for a capacitor or resistor that is burnt, cracked, bulging or discoloured",
        "let hot parts cool; do not touch what has leaked or burnt, and do not breathe its fumes",
      ),
      onBench(
        "With the desk off, unplugged and discharged, lift the decoupling capacitors of that rail one by one until the resistance to ground is the sibling's",
        undefined,
        ["multimeter"],
      ),
    ],
    repair:
      "Replace the shorted capacitor with one of at least the voltage rating used in the neighbouring strips, and the feed resistor that it overheated.",
    parts: [
      { role: "decoupling capacitor", count: 2 },
      { role: "resistor", count: 1 },
      { role: "fuse", count: 1 },
    ],
    minutes: 45,
    risks: [...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
  meter: [{ kind: "rail", when: "low", weight: "raises" }],
};
