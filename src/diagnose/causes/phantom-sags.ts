import { inUse, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/**
 * Resistance in the feed, or a supply at its limit: the voltage is right without a load, and low
 * once a microphone draws current.
 */
export const phantomSags: CauseKind<"phantom-sags"> = {
  id: "phantom-sags",
  name: "phantom voltage sags under load",
  word: "phantom weak",
  kind: "fault",
  shownBy: ["meter", "use"],
  seat: ["socket", "input stage"],
  settle: inUse(
    "join pins 2 and 3, load them to pin 1 with 1.4 kΩ, 0.5 W, and measure: a healthy 48 V supply gives 14 V there at 10 mA; compare with a sibling",
    "unplug microphones first",
    ["multimeter", "pin adapter", "phantom load"],
  ),
  ready: "a plug with a resistor of 1.4 kΩ, 0.5 W from pins 2 and 3 to pin 1, the phantom switch",
  confusedWith: [
    {
      cause: "phantom-supply-off",
      check: "measure without a load: a voltage that is low then too is off, not weak",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance across the closed phantom switch and from there to the supply's feed, and compare with a sibling",
        "pins 2 and 3 hold charge: wait until they read below 1 V before you touch them",
        ["multimeter"],
      ),
    ],
    repair:
      "Clean or replace the phantom switch, or the resistor in its feed; if every strip sags, have the supply repaired by a licensed technician.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "switch", count: 1 },
      { role: "resistor", count: 1 },
    ],
    minutes: 30,
    risks: ["switch phantom off and let it discharge before you solder", ...solderingRisk],
    source:
      "10 mA and feed resistors of 6.8 kΩ: IEC 61938 (from memory); 48 V / (3.4 kΩ + 1.4 kΩ) = 10 mA: Ohm's law; the rest common practice, no source",
  },
  notes: [{ controls: ["phantom"], symptoms: { distorted: 7, quiet: 7 }, otherwise: 2 }],
};
