import { getReadingName } from "../../measure/reading-kinds.js";
import { commonPractice, onBench, powered, solderingRisk } from "../bench.js";
import { bendsInHalves, keepsOrder } from "../bend-law.js";
import {
  anyDeviation,
  type DeviationRanges,
  formatDb,
  type PredictedCause,
  predictHissRanges,
} from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { findLargestDifference, getDeviation, isOutlier } from "../path-evidence.js";
import { findStrayTone } from "../stray-tone.js";

/** Smallest resonance near the top of the band that counts, decibels. */
const leastTrebleDb = 0.5;

/** What an oscillation above the recorded band does to the readings. */
const above: DeviationRanges = {
  ...predictHissRanges([0.5, 40]),
  strayTone: anyDeviation,
  thd: [3, 60],
  thd100: [3, 60],
  thdHot: [0, 60],
  imd: [3, 60],
  headroom: [-20, 0],
  compression: [-8, 0.5],
  noiseSlope: [-1, 8],
  dc: anyDeviation,
  gain: [-2, 2],
  hum: [-1, 10],
  humOdd: [-1, 10],
  humEven: [-1, 10],
};

/** Oscillation on only a part of the wave raises the noise by little, decibels (a guess). */
const littleNoiseDb = 6;
/** Uncertainty of the distortion of the loud step for a steady law, decibels. */
const aboutLawDb = 4;

/** Within the band: so weak that only its tone shows, or as strong as above it. */
const within: DeviationRanges = {
  ...predictHissRanges([0, 90]),
  strayTone: [3, 100],
  thd: [0, 60],
  thd100: [0, 60],
  thdHot: [0, 60],
  imd: [0, 60],
  headroom: [-20, 0],
};

interface Risen {
  readonly readings: readonly { readonly reading: string; readonly db: number }[];
}

const says = {
  "worse-together": ({ readings }: Risen) =>
    `noise and distortion worsen together: ${formatRisen(readings)}`,
  "one-half-bent": ({ readings }: Risen) =>
    `the same distortion at any level, in one half of the wave: ${formatRisen(readings)}`,
} satisfies EvidenceWords;
const seen = createEvidence("oscillation", says);

/**
 * A stage that oscillates above the audible band uses up its headroom: noise, distortion and
 * headroom worsen together, and a resonance near the top of the band raises or bends the treble.
 * Within the recorded band it is a steady tone, which may leave everything else unchanged.
 */
export const oscillation: PredictedCause<"oscillation"> = {
  id: "oscillation",
  name: "high-frequency oscillation of a stage",
  word: "oscillation",
  kind: "fault",
  shownBy: ["round", "use"],
  prior: 0.03,
  // Common practice, guesses.
  loudShares: { stuck: 0.15, tone: 0.25, driven: 0.4, programme: 0.12 },
  answers: { again: 0.15, cable: 0.2, "gain-down": 0.5, "other-input": 0.4 },
  settle: powered(
    "look at the strip's op amp outputs with an oscilloscope while nothing plays; or, from outside, record at 192 kHz and look above 20 kHz",
    ["oscilloscope", "recording set-up", "extender"],
  ),
  ready: "small compensation and decoupling capacitors, the op amp concerned",
  confusedWith: [
    {
      cause: "crossover-distortion",
      check: "crossover distortion adds no noise while nothing plays",
    },
    { cause: "noisy-device", check: "a noisy device leaves the distortion where it was" },
  ],
  bench: {
    steps: [
      onBench(
        "Look for a compensation or decoupling capacitor of that stage that is cracked, dried out or missing, and compare with a sibling",
      ),
    ],
    repair: "Replace the compensation or decoupling capacitors of the stage; then the op amp.",
    parts: [
      { role: "small capacitor", count: 2 },
      { role: "decoupling capacitor", count: 2 },
      { role: "op amp", count: 1 },
    ],
    minutes: 50,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { whistle: 8, distorted: 1 } }],
  says,
  predict(path) {
    const treble = findLargestDifference(path, 12_000, 45_000);
    const tone = findStrayTone(path);
    // An oscillation on one half of the wave is absent while nothing plays.
    const bursts = bendsInHalves(path);
    const worse = (["thd", "hiss", "noiseA", "thdHot", "imd"] as const).filter((id) =>
      isOutlier(path, id, "up"),
    );
    if (tone === undefined) {
      if (worse.length < 2 || !isOutlier(path, "thd", "up")) return undefined;
      // A full oscillation goes on while nothing plays: a path that is clean then does not
      // oscillate.
      const noisy = (["hiss", "noiseA", "noise"] as const).some((id) => isOutlier(path, id, "up"));
      // An oscillating stage distorts beyond some level; harmonics that follow the law of their
      // order show no such level.
      if (Math.abs(treble) < leastTrebleDb && keepsOrder(path)) return undefined;
      if (!noisy && !bursts && Math.abs(treble) < leastTrebleDb) return undefined;
    }
    const readings = worse.map((id) => ({ reading: id, db: getDeviation(path, id) ?? 0 }));
    const hot = getDeviation(path, "thdHot") ?? 0;
    const hiss = getDeviation(path, "hiss") ?? getDeviation(path, "noiseA") ?? 0;
    const inBursts: DeviationRanges = {
      ...above,
      ...predictHissRanges([0, hiss < littleNoiseDb ? littleNoiseDb : 40]),
      thdHot: [Math.max(0, hot - aboutLawDb), hot + aboutLawDb],
      headroom: [-20, 0.5],
    };
    return {
      moves: tone !== undefined ? within : bursts ? inBursts : above,
      ...(Math.abs(treble) > 0.3
        ? { response: (hz) => treble * Math.min(1, (hz / 20_000) ** 2), fitted: 1 }
        : {}),
      evidence: [
        ...(tone === undefined ? [] : [tone]),
        ...(worse.length < 2 || !isOutlier(path, "thd", "up")
          ? []
          : [seen(bursts ? "one-half-bent" : "worse-together", { readings })]),
      ],
    };
  },
};

function formatRisen(readings: Risen["readings"]): string {
  return readings.map(({ reading, db }) => `${getReadingName(reading)} ${formatDb(db)}`).join(", ");
}
