import { commonPractice, inUse, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A fault of the display, not of the sound: the path may be in order. */
export const meterOrLamp: CauseKind<"meter-or-lamp"> = {
  id: "meter-or-lamp",
  name: "meter or lamp",
  word: "meter/lamp",
  kind: "fault",
  shownBy: ["eyes and nose", "use"],
  seat: ["meter"],
  settle: inUse(
    "play the tone and listen: if the sound is right, the meter or lamp alone is at fault; tap a sticking meter lightly",
    undefined,
    ["tone 1 kHz"],
  ),
  ready: "a lamp or meter of the same kind and voltage",
  confusedWith: [{ cause: "no-signal", check: "listen: a path that sounds right is not dead" }],
  bench: {
    steps: [
      unplugged(
        "Look at the lamp, its holder and its lead, and at the meter's connector",
        "let a lamp that was lit cool before you touch it",
      ),
    ],
    repair:
      "Replace the lamp with one of the same voltage and current; clean the holder; replace the meter.",
    parts: [{ role: "lamp", count: 1 }],
    minutes: 15,
    risks: [
      "never fit a lamp of a higher rating: it overheats its holder",
      "leave lamps that are fed from the mains to licensed people",
    ],
    source: commonPractice,
  },
  notes: [
    { controls: ["lamp"], otherwise: 9, sure: ["dark"] },
    { controls: ["meter"], otherwise: 9 },
    { symptoms: { dark: 8 } },
  ],
};
