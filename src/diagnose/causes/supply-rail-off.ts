import { commonPractice, polarityRisk, powered, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A fuse, a feed resistor, or a part after it that draws too much. */
export const supplyRailOff: CauseKind<"supply-rail-off"> = {
  id: "supply-rail-off",
  name: "supply rail out of range at the strip",
  word: "rail",
  kind: "fault",
  shownBy: ["meter", "use"],
  settle: powered(
    "measure the rail at the next strip and where it leaves the supply: if it is out of range here alone, the fault is this strip's feed; if it is out at every strip, the fault is the supply",
    ["multimeter", "extender"],
  ),
  ready: "the strip's supply fuse or feed resistors, its decoupling electrolytics",
  care: "rails are measured under power: leave supply and mains work to licensed people and follow local codes",
  confusedWith: [
    {
      cause: "shorted-decoupler",
      check:
        "measure the resistance from rail to ground with the desk off, unplugged and discharged: a few ohms are a short, not a fuse",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the strip's fuse and feed resistors, and the resistance from each rail to ground, and compare with a sibling: find what blew the fuse before you replace it",
        undefined,
        ["multimeter"],
      ),
    ],
    repair:
      "Replace the fuse or feed resistor with the same rating, never a larger one, and the part that blew it.",
    parts: [
      { role: "fuse", count: 1 },
      { role: "resistor", count: 2 },
      { role: "decoupling capacitor", count: 2 },
    ],
    minutes: 35,
    risks: [...polarityRisk, ...solderingRisk, "leave supply work to licensed people"],
    source: commonPractice,
  },
  notes: [{ symptoms: { "clips-early": 3 } }],
  meter: [{ kind: "rail", when: "out", weight: "settles" }],
  explains: ["early-clipping", "supply-ripple", "no-signal"],
};
