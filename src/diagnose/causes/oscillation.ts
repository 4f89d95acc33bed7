import { commonPractice, onBench, powered, solderingRisk } from "../bench.js";
import { anyDeviation, formatDb, type PredictedCause, predictHissRanges } from "../cause-kind.js";
import { findLargestDifference, isOutlier } from "../path-evidence.js";

/**
 * A stage that oscillates above the audible eats its own headroom: noise, distortion and headroom
 * worsen together, and a resonance near the top of the band lifts or bends the treble.
 */
/** A resonance near the top of the band that shows, decibels. */
const leastTrebleDb = 0.5;

export const oscillation: PredictedCause<"oscillation"> = {
  id: "oscillation",
  name: "high-frequency oscillation of a stage",
  word: "oscillation",
  kind: "fault",
  shownBy: ["round", "use"],
  prior: 0.03,
  answers: { again: 0.15, cable: 0.2, "gain-down": 0.5, "other-input": 0.4 },
  settle: powered(
    "look at the strip's op amp outputs with an oscilloscope while nothing plays; or, from outside, record at 192 kHz and look above 20 kHz",
    ["oscilloscope", "recording set-up", "extender"],
  ),
  ready: "small compensation and decoupling capacitors, the op amp concerned",
  confusedWith: [
    { cause: "crossover-distortion", check: "crossover distortion adds no noise in silence" },
    { cause: "noisy-device", check: "a noisy device leaves the distortion where it was" },
  ],
  bench: {
    steps: [
      onBench(
        "Look for a compensation or decoupling capacitor of that stage that is cracked, dried out or missing, and compare with a sibling.",
      ),
    ],
    repair: "Replace the compensation or decoupling capacitors of the stage; then the op amp.",
    parts: [
      { role: "small capacitor", count: 2 },
      { role: "decoupling capacitor", count: 2 },
      { role: "op amp", count: 1 },
    ],
    minutes: 50,
    risk: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { whistle: 8, distorted: 1 } }],
  predict(path) {
    const treble = findLargestDifference(path, 12_000, 45_000);
    const worse = (["thd", "hiss", "noiseA", "thdHot", "imd"] as const).filter((id) =>
      isOutlier(path, id, "up"),
    );
    if (worse.length < 2 || !isOutlier(path, "thd", "up")) return undefined;
    // It goes on while nothing plays: what is clean then does not oscillate.
    const noisy = (["hiss", "noiseA", "noise"] as const).some((id) => isOutlier(path, id, "up"));
    if (!noisy && Math.abs(treble) < leastTrebleDb) return undefined;
    const signs = worse.map((id) => {
      const feature = path.features.get(id);
      return feature ? `${feature.name} ${formatDb(feature.deviation)}` : id;
    });
    return {
      moves: {
        ...predictHissRanges([0.5, 40]),
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
      },
      ...(Math.abs(treble) > 0.3
        ? { response: (hz) => treble * Math.min(1, (hz / 20_000) ** 2), fitted: 1 }
        : {}),
      evidence: [`noise and distortion worsen together: ${signs.join(", ")}`],
    };
  },
};
