import { cleanerRisk, commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A control other than the gain, found by a controls pass or named by a note. */
export const wornControl: CauseKind<"worn-control"> = {
  id: "worn-control",
  name: "dirty or worn control or switch",
  word: "control",
  kind: "fault",
  shownBy: ["controls pass", "use"],
  settle: inUse("record a controls pass of this strip again", undefined, ["recording set-up"]),
  ready: "contact cleaner, a control of the same kind, value and shaft",
  tryNow: "turn the control from end to end a few times and back to its mark",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check:
        "measure the DC voltage across the control: scratch along the whole track means a leak",
    },
  ],
  bench: {
    steps: [
      inUse(
        "Work the control from end to end about thirty times, then record the controls pass again",
        undefined,
        ["recording set-up"],
      ),
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance from wiper to each end while the control is moved slowly, and look at its solder joints",
        undefined,
        ["multimeter"],
      ),
    ],
    repair:
      "Clean the control; if cleaning does not last, replace it with one of the same track, value and shaft.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "control", count: 1 },
    ],
    minutes: 25,
    risks: [...cleanerRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [
    {
      controls: ["fader", "send", "pan"],
      symptoms: {
        scratch: 8,
        crackle: 8,
        unsteady: 7,
        dropout: 7,
        intermittent: 7,
        stuck: 8,
        loose: 8,
      },
      sure: ["scratch", "crackle"],
    },
    { controls: ["fader"], otherwise: 5, sure: ["stuck", "dropout", "unsteady"] },
    { symptoms: { stuck: 6, loose: 6 } },
  ],
};
