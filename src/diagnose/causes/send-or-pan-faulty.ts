import { cleanerRisk, commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import { formatDb, type PredictedCause, predictLevelRanges } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** A leg that still passes a signal does not lose more, decibels. */
const mostLostDb = 60;
/** A level within this many spreads agrees with its siblings'. */
const still = 3;

const says = {
  "one-side-lost": ({ db }: { readonly db: number }) =>
    `gain ${formatDb(db)} on one side of the bus, while the other side matches its siblings: the pan, or the leg to that side`,
} satisfies EvidenceWords;
const seen = createEvidence("send-or-pan-faulty", says);

/** A branch to a bus can be dead while the strip itself measures well. */
export const sendOrPanFaulty: PredictedCause<"send-or-pan-faulty"> = {
  id: "send-or-pan-faulty",
  name: "dead send, pan or routing",
  word: "send/pan",
  kind: "fault",
  shownBy: ["controls pass", "use", "round"],
  seat: ["pan", "send", "routing"],
  prior: 0.05,
  // Common practice, a guess.
  silentSideShare: 0.5,
  idles: ["pan"],
  settle: inUse(
    "play the tone, route it to another bus and work the switch and the control: a bus that stays silent points to its switch or resistor, a side that stays silent to the pan",
    undefined,
    ["tone 1 kHz"],
  ),
  ready:
    "contact cleaner, a control and a switch of the same kind, mix resistors of the desk's value",
  confusedWith: [
    {
      cause: "no-signal",
      check: "listen at the direct output or insert: a signal there clears the strip itself",
    },
    { cause: "worn-control", check: "a worn control crackles, a dead one is silent" },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance across the routing switch, of the control from wiper to each end, and of the mix resistor, and compare with a sibling",
        undefined,
        ["multimeter"],
      ),
      unplugged("Press the bus ribbon home, and look for a contact that is bent or corroded green"),
    ],
    repair:
      "Clean or replace the switch or control, or replace the mix resistor with one like those of the neighbouring strips.",
    parts: [
      { role: "contact cleaner", count: 1 },
      { role: "control", count: 1 },
      { role: "switch", count: 1 },
      { role: "resistor", count: 1 },
    ],
    minutes: 35,
    risks: [...cleanerRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [
    {
      controls: ["send", "pan", "routing"],
      symptoms: { dead: 8, scratch: 2, crackle: 2, stuck: 2, loose: 1 },
      otherwise: 6.5,
    },
  ],
  /**
   * Shown only if both sides of one pan were recorded: one leg to the bus lost level, and the other
   * did not.
   */
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    const other = path.beside?.features.get("gain");
    if (lost === undefined || other === undefined || lost < -mostLostDb) return undefined;
    if (!isOutlier(path, "gain", "down")) return undefined;
    if (Math.abs(other.deviation) > still * other.spread) return undefined;
    return {
      moves: { ...predictLevelRanges(lost), gain: [-mostLostDb, -0.5] },
      evidence: [seen("one-side-lost", { db: lost })],
    };
  },
};
