import { formatSigned } from "../../text/format-signed.js";
import { commonPractice, inUse, powered, solderingRisk } from "../bench.js";
import { anyDeviation, formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier, type PathEvidence } from "../path-evidence.js";

/**
 * An output stuck at a rail passes only the part of a swing that pulls it off: this much less,
 * decibels.
 */
const leastLostDb = -12;
/**
 * An output that passes half of each swing loses 6 dB, and one that passes less loses more, with a
 * second harmonic of −7 dB or higher: conduction for 180° or less (textbook, class C). The second
 * is far above the third until 14 dB are lost, and always above it. Gaps and films take the same
 * from both halves, and give odd harmonics.
 */
const halfSwingDb = -6;
const leastSecondDb = -10;
const secondAboveThirdDb = 6;
/**
 * Half a swing is rich in harmonics: distortion is at least this, relative to the fundamental,
 * decibels.
 */
const remnantDb = -25;
/**
 * The remnant's response depends on how fast the output leaves the rail: it may vary by this,
 * decibels either way.
 */
const wanderDb = 6;

const says = {
  remnant: ({ lostDb, thdDb }: Readonly<Record<"lostDb" | "thdDb", number>>) =>
    `a remnant, ${formatDb(lostDb)}, its distortion at ${formatSigned(thdDb.toFixed(0))} dB: only part of each swing comes through`,
  "direct-voltage": () => "a DC voltage that its siblings do not have",
} satisfies EvidenceWords;
const seen = createEvidence("op-amp-latched", says);

/**
 * A leak gives millivolts at the output of a stage. Volts mean that the device has failed or
 * latched, or is fed a DC voltage.
 */
export const opAmpLatched: PredictedCause<"op-amp-latched"> = {
  id: "op-amp-latched",
  name: "op amp latched, failed or with DC voltage at its output",
  word: "latched",
  kind: "fault",
  shownBy: ["meter", "round", "use"],
  prior: 0.02,
  // Common practice, a guess.
  loudShares: { stuck: 0.15 },
  settle: powered(
    "measure the DC voltage at the output and at both inputs of the op amp: equal inputs while the output is near a rail mean a failed or latched device; voltage at an input points to the stage before it",
    ["multimeter", "extender"],
  ),
  ready: "op amps of the strip's kinds, an infrared thermometer",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check: "measure the output itself: a leak shows only after the capacitor, in millivolts",
    },
    {
      cause: "early-clipping",
      check:
        "measure the rails: with one missing, every output of the strip moves towards the other",
    },
  ],
  bench: {
    steps: [
      inUse(
        "Mute the monitors, switch the desk off, wait a minute and switch it on again: a latched op amp may recover, a failed one does not",
      ),
      powered(
        "Find a hot device with an infrared thermometer, never by touch, and compare with a sibling",
        ["thermometer", "extender"],
      ),
    ],
    repair: "Replace the op amp with the same type, and the part that feeds it DC voltage.",
    parts: [{ role: "op amp", count: 1 }],
    minutes: 35,
    risks: ["a failed device can be hot enough to burn: do not touch it", ...solderingRisk],
    source: commonPractice,
  },
  notes: [{ symptoms: { distorted: 1.5, "clips-early": 1, dead: 1, pop: 1 } }],
  meter: [{ kind: "direct", when: "out", fromV: 1, weight: "raises" }],
  explains: ["early-clipping", "no-signal"],
  says,
  predict(path) {
    const lost = getDeviation(path, "gain");
    const distorted = path.measurement?.readings.thd;
    const secondDb = secondAboveThird(path);
    const most =
      secondDb !== undefined && secondDb > secondAboveThirdDb ? halfSwingDb : leastLostDb;
    if (secondDb !== undefined && secondDb < 0) return undefined;
    if (lost === undefined || lost > most || distorted === undefined) return undefined;
    if (!isOutlier(path, "thd", "up") || distorted.value < remnantDb) return undefined;
    const offset = isOutlier(path, "dc", "up") || isOutlier(path, "dc", "down");
    return {
      moves: {
        gain: [-90, most],
        thd: [10, 120],
        thd100: [0, 120],
        thdHot: [0, 120],
        imd: [0, 120],
        linearity: anyDeviation,
        compression: anyDeviation,
        headroom: anyDeviation,
        // noise from upstream is held at the rail with the signal
        hiss: [-60, 3],
        noiseA: [-60, 3],
        noise: [-60, 3],
        hum: [-60, 10],
        humOdd: [-60, 10],
        humEven: [-60, 10],
        polarity: [-2, 2],
        burstiness: [-2, 40],
        dc: anyDeviation,
      },
      wander: wanderDb,
      evidence: [
        seen("remnant", { lostDb: lost, thdDb: distorted.value }),
        ...(offset ? [seen("direct-voltage")] : []),
      ],
    };
  },
};

/**
 * How far the second harmonic is above the third, decibels; minus infinity if the second is too low
 * for part of each swing. Undefined if they were not read.
 */
function secondAboveThird({ measurement }: PathEvidence): number | undefined {
  const [second, third] = [measurement?.readings.harmonic2, measurement?.readings.harmonic3];
  if (!second || !third) return undefined;
  return second.value < leastSecondDb ? Number.NEGATIVE_INFINITY : second.value - third.value;
}
