import { type CauseKind, formatDb, predictHissRanges } from "../cause-kind.js";
import { computeHumShare, getDeviation, isOutlier } from "../path-evidence.js";

/** A noisy device adds hiss, white or rising towards low frequency, and leaves all else alone. */
const leastDb = 1;

export const noisyDevice: CauseKind = {
  id: "noisy-device",
  name: "noisy input device or op amp",
  kind: "fault",
  prior: 0.1,
  confirmBy:
    "turn the gain down: noise that falls with it comes from the first stage, noise that stays from a later one; then swap the device",
  ready: "input devices or op amps of the strip's kinds",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check: "turn the controls at low level: a leak scratches with every turn",
    },
    { cause: "oscillation", check: "a noisy device leaves the distortion where it was" },
  ],
  predict(path) {
    const hiss =
      getDeviation(path, "hiss") ?? getDeviation(path, "noiseA") ?? getDeviation(path, "noise");
    const rises = isOutlier(path, "noiseSlope", "down");
    if (hiss === undefined || (hiss < leastDb && !rises)) return undefined;
    // Where hiss is not read apart, noise that is mostly mains is no device's.
    if (!path.features.has("hiss") && (computeHumShare(path) ?? 0) > 0.5) return undefined;
    const slope = getDeviation(path, "noiseSlope") ?? 0;
    const evidence = [`noise ${formatDb(hiss)} against its siblings, the signal itself unchanged`];
    if (slope < -1) evidence.push("more so at low frequency: 1/f noise, a semiconductor going");
    if ((computeHumShare(path) ?? 0) < 0.3)
      evidence.push("hiss, not mains: hum is a small part of it");
    return {
      moves: {
        ...predictHissRanges([rises ? 0 : leastDb, 50]),
        noise: [0, 50],
        noiseSlope: [-5, 1],
        clicks: [-1, 200],
        hum: [-2, 12],
        humOdd: [-2, 8],
        humEven: [-2, 8],
      },
      evidence,
    };
  },
};
