import { commonPractice, inUse, powered, solderingRisk } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * A switching transistor or a voltage-controlled amplifier in the path: level, distortion and thump
 * follow its control voltage.
 */
export const muteElement: CauseKind<"mute-element"> = {
  id: "mute-element",
  name: "mute element or voltage-controlled stage",
  word: "mute",
  kind: "fault",
  shownBy: ["controls pass", "use", "round"],
  seat: ["mute", "fader"],
  answers: { "mute-worked": 0.6, controls: 0.4, switches: 0.3 },
  cleared: ["mute-worked"],
  settle: inUse(
    "record the path with mute, fader and automation left alone, then work the mute a dozen times and record again: level or distortion that changes with it comes from the element",
    undefined,
    ["recording set-up"],
  ),
  ready: "the transistors or the voltage-controlled amplifier of that stage",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check:
        "measure DC voltage before the mute: a pop at every press means voltage there, not a faulty element",
    },
    {
      cause: "crossover-distortion",
      check: "measure before and after the mute: only there does the element add distortion",
    },
  ],
  bench: {
    steps: [
      powered(
        "Measure the control voltage of the element, muted and open, and compare with a sibling",
        ["multimeter", "extender"],
      ),
      powered(
        "Look at the tone before and after the element with an oscilloscope, and see whether level or shape changes",
        ["oscilloscope", "tone 1 kHz", "extender"],
      ),
    ],
    repair:
      "Replace the element, or the part that makes its control voltage; trim a voltage-controlled amplifier again, like those of the neighbouring strips.",
    parts: [{ role: "bias parts", count: 1 }],
    minutes: 45,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [
    { controls: ["mute"], symptoms: { pop: 4, distorted: 6, crosstalk: 7 }, otherwise: 5 },
    {
      controls: ["dynamics"],
      symptoms: { distorted: 7, pop: 6, hiss: 5, "clips-early": 6 },
      otherwise: 6,
    },
  ],
};
