import { cleanerRisk, commonPractice, inUse, powered, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A band that does nothing, or scratches, when its own control is moved. */
export const equaliserBandFaulty: CauseKind<"equaliser-band-faulty"> = {
  id: "equaliser-band-faulty",
  name: "dead or scratchy equaliser band",
  word: "EQ band",
  kind: "fault",
  shownBy: ["controls pass", "use"],
  seat: ["equaliser"],
  idles: ["bands"],
  settle: inUse(
    "switch the equaliser in, boost the band and sweep it while noise plays, and compare with a sibling: a band that does nothing is dead, one that crackles has a worn control",
    undefined,
    ["noise source"],
  ),
  ready: "contact cleaner, controls and op amps of the band's kinds",
  confusedWith: [
    {
      cause: "equaliser-left-in",
      check: "a band that changes nothing when it is moved is faulty, not set wrong",
    },
    {
      cause: "worn-control",
      check: "a worn control crackles, a dead band is silent",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance of the band's controls from wiper to each end while they are turned, and across its switch",
        undefined,
        ["multimeter"],
      ),
      powered(
        "Follow the tone into and out of the band's op amp, and measure the DC voltage at its output",
        ["multimeter", "listening probe", "tone 1 kHz", "extender"],
      ),
    ],
    repair:
      "Clean or replace the control or switch, or replace the band's op amp or capacitor with the same type and value as in the neighbouring strips.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "control", count: 1 },
      { role: "op amp", count: 1 },
    ],
    minutes: 40,
    risks: [...cleanerRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [
    {
      controls: ["equaliser"],
      symptoms: { dead: 8, scratch: 3, crackle: 3, stuck: 2, loose: 1 },
      otherwise: 6,
    },
  ],
};
