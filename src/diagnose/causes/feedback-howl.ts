import { inUse } from "../bench.js";
import { anyDeviation, formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation } from "../path-evidence.js";

/**
 * The output reaches its own input: by a patch, a bus routed to itself, or a return to the
 * monitors.
 */
const leastDb = 35;
/** Readings that a steady tone beside the signal upsets. */
const upset = [
  "hiss",
  "noiseA",
  "noise",
  "noiseSlope",
  "strayTone",
  "hum",
  "humOdd",
  "humEven",
  "thd",
  "thd100",
  "thdHot",
  "imd",
  "instability",
  "instability100",
  "clicks",
  "burstiness",
  "linearity",
  "compression",
  "headroom",
];

const says = {
  "loud-alone": ({ db }: { readonly db: number }) =>
    `noise ${formatDb(db)} while nothing plays: more than any device gives; the signal itself comes through`,
} satisfies EvidenceWords;
const seen = createEvidence("feedback-howl", says);

export const feedbackHowl: PredictedCause<"feedback-howl"> = {
  id: "feedback-howl",
  name: "howling: the output fed back to its own input",
  word: "howling",
  kind: "patch",
  shownBy: ["round", "use"],
  prior: 0.02,
  // Common practice, guesses.
  loudShares: { tone: 0.5, driven: 0.25, programme: 0.12 },
  answers: { again: 0.5, marks: 0.5, "gain-down": 0.7 },
  settle: inUse(
    "turn the monitors down first, then take this strip off the buses one by one until it stops, and record again",
    undefined,
    ["recording set-up"],
  ),
  tryNow: "turn the monitors down; is the interface's input monitored into the desk?",
  confusedWith: [
    {
      cause: "oscillation",
      check: "mute the strip's routing and its inserts: an oscillating stage keeps oscillating",
    },
  ],
  says,
  predict(path) {
    const hiss = getDeviation(path, "hiss") ?? getDeviation(path, "noise");
    if (hiss === undefined || hiss < leastDb) return undefined;
    return {
      moves: { ...Object.fromEntries(upset.map((id) => [id, anyDeviation])), gain: [-3, 3] },
      wander: 6,
      evidence: [seen("loud-alone", { db: hiss })],
    };
  },
};
