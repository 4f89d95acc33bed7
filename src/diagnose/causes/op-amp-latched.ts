import { commonPractice, inUse, powered, solderingRisk } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** Volts at the output of a stage are no leak, which gives millivolts: the device has failed, latched, or is fed DC voltage. */
export const opAmpLatched: CauseKind<"op-amp-latched"> = {
  id: "op-amp-latched",
  name: "op amp latched, failed or with DC voltage at its output",
  word: "latched",
  kind: "fault",
  shownBy: ["meter", "round", "use"],
  settle: powered(
    "measure the DC voltage at the output and at both inputs of the op amp: equal inputs while the output is near a rail mean a failed or latched device; voltage at an input points to the stage before it",
    ["multimeter", "extender"],
  ),
  ready: "op amps of the strip's kinds, an infrared thermometer",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check: "measure the output itself: a leak shows only after the capacitor, in millivolts",
    },
    {
      cause: "early-clipping",
      check:
        "measure the rails: with one missing, every output of the strip moves towards the other",
    },
  ],
  bench: {
    steps: [
      inUse(
        "Switch the desk off, wait a minute and switch it on again: a latched op amp may recover, a failed one does not.",
      ),
      powered(
        "Find a hot device with an infrared thermometer, never by touch, and compare with a sibling.",
        ["thermometer", "extender"],
      ),
    ],
    repair: "Replace the op amp with the same type, and the part that feeds it DC voltage.",
    parts: [{ role: "op amp", count: 1 }],
    minutes: 35,
    risk: `a failed device can burn a finger; ${solderingRisk}`,
    source: commonPractice,
  },
  notes: [{ symptoms: { distorted: 1.5, "clips-early": 1, dead: 1, pop: 1 } }],
  meter: [{ kind: "direct", when: "out", fromV: 1, weight: "raises" }],
  explains: ["early-clipping"],
};
