import { commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import { formatDb, type PredictedCause, predictLevelRanges } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** A control off its mark changes only the level, and whatever depends on level. */
const reachDb = 13;
/**
 * A control set by hand misses its mark by less than this; a whole step of a switch or more is
 * rarer.
 */
const slipDb = 4.5;

const says = {
  "level-off": ({ db }: { readonly db: number }) =>
    `gain ${formatDb(db)}, the same at all frequencies`,
} satisfies EvidenceWords;
const seen = createEvidence("gain-off", says);

export const gainOff: PredictedCause<"gain-off"> = {
  id: "gain-off",
  name: "gain, fader or pan off the mark",
  word: "gain off",
  kind: "setting",
  sharedAspect: "level",
  shownBy: ["round", "use"],
  seat: ["input stage", "fader", "pan"],
  prior: 0.2,
  // A pan turned fully to one side: common practice, a guess.
  silentSideShare: 0.25,
  answers: { marks: 0.85, "gain-worked": 0.8, again: 0.05, pad: 0.02, "other-input": 0.6 },
  settle: inUse("set the controls to the run sheet's marks and record this path again", undefined, [
    "recording set-up",
  ]),
  tryNow: "are gain, fader and pan at their marks?",
  confusedWith: [
    {
      cause: "worn-gain-control",
      check:
        "turn the control through its range: a worn one crackles or jumps, one off its mark does not",
    },
    { cause: "open-leg", check: "an open leg loses 6 dB and hums; swap the cable" },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistors that set the gain, one end lifted, and compare with a sibling",
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Replace the resistor that is out of tolerance; refit the knob on its mark.",
    parts: [{ role: "resistor", count: 2 }],
    minutes: 30,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { loud: 5, quiet: 1 } }],
  says,
  predict(path) {
    const moved = getDeviation(path, "gain");
    if (moved === undefined || Math.abs(moved) > reachDb) return undefined;
    if (!isOutlier(path, "gain", "up") && !isOutlier(path, "gain", "down")) return undefined;
    const slip = Math.abs(moved) <= slipDb;
    return {
      moves: { ...predictLevelRanges(moved), gain: slip ? [-slipDb, slipDb] : [-reachDb, reachDb] },
      fitted: slip ? 0 : 0.5,
      evidence: [seen("level-off", { db: moved })],
    };
  },
};
