import { inUse, phantomStandard } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * A strip cannot raise its supply voltage: if it is too high, the regulator is at fault, and every
 * strip shows it.
 */
export const phantomSupplyHigh: CauseKind<"phantom-supply-high"> = {
  id: "phantom-supply-high",
  name: "phantom voltage too high: the supply's regulator",
  word: "phantom high",
  kind: "fault",
  shownBy: ["meter"],
  settle: inUse(
    "measure pin 2 and pin 3 to pin 1 with nothing plugged in, here and at two other strips: a faulty regulator shows the same at each",
    "unplug microphones first, and leave phantom off until the supply is repaired",
    ["multimeter", "pin adapter"],
  ),
  care: "leave phantom off until the supply is repaired: too high a voltage can damage microphones; leave supply work to licensed people",
  confusedWith: [
    {
      cause: "phantom-supply-off",
      check:
        "measure the next strip: a feed resistor can lower the voltage of one strip, but not raise it",
    },
  ],
  bench: {
    steps: [],
    repair:
      "Have the supply's phantom regulator repaired by a licensed technician; replace nothing on the strip.",
    parts: [],
    minutes: 15,
    risks: [
      "the supply stays charged after switch-off: leave supply and mains work to licensed people, under local codes",
    ],
    place: "supply",
    source: phantomStandard,
  },
  meter: [{ kind: "phantom", when: "high", weight: "settles" }],
};
