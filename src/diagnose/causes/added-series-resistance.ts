import { inUse, solderingRisk, unplugged } from "../bench.js";
import type { CauseKind } from "../cause-kind.js";

/** Ohms where there ought to be none: level is lost into a low impedance, treble into the capacitance that was always there. */
export const addedSeriesResistance: CauseKind<"added-series-resistance"> = {
  id: "added-series-resistance",
  name: "added series resistance: oxidised contact, dry joint or open build-out resistor",
  word: "series R",
  kind: "fault",
  shownBy: ["meter", "use"],
  settle: unplugged(
    "with the desk off, unplugged and discharged, measure the resistance across each contact, joint and build-out resistor of the path, and compare with a sibling: a few hundred ohms more are the fault",
    undefined,
    ["multimeter"],
  ),
  ready: "contact cleaner, solder, build-out resistors of the desk's value",
  confusedWith: [
    {
      cause: "high-loss",
      check:
        "a round shows this as treble loss: the meter shows whether a contact or the driver does it",
    },
    { cause: "open-leg", check: "an open leg loses 6 dB at all frequencies and hums" },
  ],
  bench: {
    steps: [
      inUse(
        "Work the switches and the insert of the path a dozen times, and record it again.",
        undefined,
        ["recording set-up"],
      ),
    ],
    repair: "Clean the contact, resolder the joint or replace the resistor, like its neighbours'.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "resistor", count: 1 },
    ],
    minutes: 30,
    risk: solderingRisk,
    source:
      "corner of a resistance into capacitance: 1/(2πRC), circuit theory; where to look: common practice, no source",
  },
  notes: [{ symptoms: { dull: 3, quiet: 1 } }],
};
