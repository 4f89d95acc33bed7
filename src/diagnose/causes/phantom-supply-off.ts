import {
  inUse,
  onBench,
  phantomStandard,
  polarityRisk,
  solderingRisk,
  unplugged,
} from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** A feed resistor, a leak after it, the switch or the strip's feed pulls one pin or both down. */
export const phantomSupplyOff: CauseKind<"phantom-supply-off"> = {
  id: "phantom-supply-off",
  name: "phantom voltage low, or different at the two pins",
  word: "phantom",
  kind: "fault",
  shownBy: ["meter", "use"],
  seat: ["socket", "input stage"],
  settle: inUse(
    "measure pin 2 and pin 3 to pin 1 with nothing plugged in, then the same at the next strip: one pin low points to its feed resistor or a leak after it, both low here alone to the switch or the strip's feed, low everywhere to the supply",
    "unplug microphones first",
    ["multimeter", "pin adapter"],
  ),
  ready: "the phantom switch, a pair of feed resistors matched within 0.4 %, the input capacitors",
  care: "unplug microphones first; the supply stays charged after switch-off: leave supply work to licensed people",
  confusedWith: [
    {
      cause: "phantom-sags",
      check: "load the pins as a microphone does: a voltage that falls only then is weak, not off",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure both feed resistors, one end lifted: they must match each other within 0.4 %, not just be within their own tolerance",
        "pins 2 and 3 hold charge: wait until they read below 1 V before you touch them",
        ["multimeter"],
      ),
      onBench(
        "Look at the phantom switch, and at the input capacitor and the protection diode of the low pin; if both feed resistors are right, one of these leaks",
      ),
    ],
    repair:
      "Replace both feed resistors as a pair matched within 0.4 %, or the input capacitor, diode or switch at fault.",
    parts: [
      { role: "feed resistor pair", count: 1 },
      { role: "coupling capacitor", count: 2 },
      { role: "switch", count: 1 },
    ],
    minutes: 35,
    risks: [
      "switch phantom off and let it discharge before you solder",
      ...polarityRisk,
      ...solderingRisk,
    ],
    source: phantomStandard,
  },
  notes: [{ controls: ["phantom"], otherwise: 6 }],
  meter: [{ kind: "phantom", when: "low", weight: "settles" }],
};
