import { inUse, powered, solderingRisk, unplugged } from "../bench.js";
import { formatDb, formatHz, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { fitRollOffShape } from "../shapes.js";

/**
 * Series resistance into shunt capacitance is a first-order low-pass at 1/(2πRC). The capacitance
 * of cables, ribbons and filters is always there: what changes is the resistance of a contact, a
 * joint or a build-out resistor, or the current that a driver can deliver. Leakage of a capacitor
 * to ground is a parallel resistance and loses no treble.
 */
const highestCornerHz = 60_000;

const says = {
  "treble-falls": ({ hz, at20kDb }: Readonly<Record<"hz" | "at20kDb", number>>) =>
    `treble falls 6 dB per octave, corner near ${formatHz(hz)} (${formatDb(at20kDb)} at 20 kHz)`,
} satisfies EvidenceWords;
const seen = createEvidence("high-loss", says);

export const highLoss: PredictedCause<"high-loss"> = {
  id: "high-loss",
  name: "high-frequency loss: added series resistance, cable or weak driver",
  word: "high loss",
  kind: "fault",
  sharedAspect: "treble",
  shownBy: ["round", "use"],
  prior: 0.06,
  answers: { cable: 0.2, switches: 0.25, insert: 0.15, again: 0.05, "other-input": 0.4 },
  settle: inUse(
    "on one input alone, swap its cable with a sibling's, then work its switches and its insert a dozen times, and record again each time: a loss that changes comes from the cable or a contact, one that stays from a joint, a build-out resistor or the driver",
    undefined,
    ["recording set-up", "good cable"],
  ),
  ready:
    "a known good cable, contact cleaner, build-out resistors and op amps of the strip's kinds",
  confusedWith: [
    {
      cause: "equaliser-left-in",
      check:
        "switch the equaliser out, then swap the cable: a loss that remains after both is in the strip",
    },
    {
      cause: "added-series-resistance",
      check:
        "added resistance is the usual reason: measure across contacts and joints with the desk off, unplugged and discharged",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance across each normal contact, joint and build-out resistor of the path, and compare with a sibling: a few hundred ohms more, into the capacitance already there, lose the treble",
        undefined,
        ["multimeter"],
      ),
      powered(
        "Play a 15 kHz tone and compare the level at the output of each op amp with a sibling's: a slow or weak driver loses it there",
        ["ac voltmeter", "tone 15 kHz", "extender"],
      ),
      unplugged(
        "Check the wiring to the bus and the ribbon: one may be pinched, wet or replaced by a longer one",
      ),
    ],
    repair:
      "Clean the contact, resolder the joint, or replace the build-out resistor, the driver or the ribbon with one like those of the neighbouring strips.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "resistor", count: 2 },
      { role: "op amp", count: 1 },
      { role: "ribbon cable", count: 1 },
    ],
    minutes: 35,
    risks: solderingRisk,
    source:
      "corner of a resistance into capacitance: 1/(2πRC), circuit theory; where to look: common practice, no source",
  },
  notes: [{ symptoms: { dull: 6 } }],
  says,
  predict(path) {
    if (!path.response) return undefined;
    const fit = fitRollOffShape(path.response, "high", 1);
    if (fit.hz > highestCornerHz) return undefined;
    const loss = Math.max(0, -fit.shape(20_000));
    return {
      moves: {
        hiss: [-loss, 1],
        noiseA: [-loss, 1],
        noise: [-loss, 1],
        thd: [-loss - 1, 3],
        thdHot: [-loss - 1, 3],
        thd100: [-2, 2],
        imd: [-2 * loss - 2, loss + 10],
        gain: [-3, 0.3],
      },
      response: fit.shape,
      fitted: 1,
      evidence: [seen("treble-falls", { hz: fit.hz, at20kDb: fit.shape(20_000) })],
    };
  },
};
