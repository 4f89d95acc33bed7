import { median } from "../../dsp/robust.js";
import { commonPractice, inUse, onBench, solderingRisk } from "../bench.js";
import { formatDb, type PredictedCause, predictHissRanges } from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import {
  computeHumShare,
  getDeviation,
  isBursty,
  isOutlier,
  type PathEvidence,
} from "../path-evidence.js";
import { isMostlyStrayTone } from "../stray-tone.js";

/** A noisy device adds hiss, white or rising towards low frequency, and changes nothing else. */
const leastDb = 1;
/**
 * The noise of a device is Gaussian and steady, except popcorn noise of a junction: it causes one
 * in five noises that come in bursts (common practice, a guess). In nats, after weighting.
 */
const popcornNats = -4;
/** Nats in favour if the spectrum is raised in most of its bands (a guess). */
const spectrumNats = 4;

/**
 * How far the noise is above the siblings' over most of its spectrum, decibels: used if a tone or
 * mains hum that the path shares with others hides it in the readings.
 */
function computeSpectrumRise({ measurement, usual }: PathEvidence): number | undefined {
  const { noise } = measurement?.curves ?? {};
  const points = usual?.curves.noise?.points;
  if (noise === undefined || points === undefined) return undefined;
  const rises = noise.y.flatMap((y, k) => {
    const own = points[k];
    return own === undefined ? [] : [y - own.median];
  });
  return rises.length === 0 ? undefined : median(rises);
}

const says = {
  noisier: ({ db }: { readonly db: number }) =>
    `noise ${formatDb(db)} against its siblings, the signal itself unchanged`,
  "low-noise": () => "more so at low frequency: 1/f noise, a failing semiconductor",
  pops: () => "it pops: popcorn noise of a junction, or a leak across a part",
  "not-mains": () => "hiss, not mains: hum is a small part of it",
} satisfies EvidenceWords;
const seen = createEvidence("noisy-device", says);

export const noisyDevice: PredictedCause<"noisy-device"> = {
  id: "noisy-device",
  name: "noisy input device or op amp",
  word: "noisy",
  kind: "fault",
  sharedAspect: "noise",
  shownBy: ["round", "use"],
  prior: 0.1,
  answers: { "gain-down": 0.6, again: 0.05, "other-input": 0.6 },
  settle: inUse(
    "turn the gain down: noise that falls with it comes from the first stage, noise that stays from a later one",
  ),
  ready: "input devices or op amps of the strip's kinds",
  confusedWith: [
    {
      cause: "leaky-capacitor",
      check: "turn the controls at low level: a leaking capacitor scratches at every turn",
    },
    { cause: "oscillation", check: "a noisy device leaves the distortion where it was" },
  ],
  bench: {
    steps: [
      onBench(
        "Swap the device of the noisy stage with a sibling's, if it is in a socket, and see whether the noise has moved with it when both are measured again",
      ),
    ],
    repair: "Replace the noisy device with the same type.",
    parts: [
      { role: "input device", count: 1 },
      { role: "op amp", count: 1 },
    ],
    minutes: 30,
    risks: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { hiss: 8, crackle: 1 } }],
  says,
  predict(path) {
    const read =
      getDeviation(path, "hiss") ?? getDeviation(path, "noiseA") ?? getDeviation(path, "noise");
    const hiss = read ?? computeSpectrumRise(path);
    const rises = isOutlier(path, "noiseSlope", "down");
    if (hiss === undefined || (hiss < leastDb && !rises)) return undefined;
    // If hiss was not read separately, noise that is mostly mains does not come from a device.
    if (!path.features.has("hiss") && (computeHumShare(path) ?? 0) > 0.5) return undefined;
    if (isMostlyStrayTone(path)) return undefined;
    const slope = getDeviation(path, "noiseSlope") ?? 0;
    const pops = isBursty(path);
    const evidence: Evidence[] = [seen("noisier", { db: hiss })];
    if (slope < -1) evidence.push(seen("low-noise"));
    if (pops || isOutlier(path, "clicks", "up")) {
      evidence.push(seen("pops"));
    }
    if ((computeHumShare(path) ?? 1) < 0.3) evidence.push(seen("not-mains"));
    return {
      moves: {
        ...predictHissRanges([rises ? 0 : leastDb, 50]),
        noise: [0, 50],
        noiseSlope: [-5, 1],
        clicks: [-1, 200],
        burstiness: pops ? [0, 40] : [0, 0],
        hum: [-2, 12],
        humOdd: [-2, 8],
        humEven: [-2, 8],
      },
      // The noise curve is not among the readings that count, so it is added as a sign.
      ...(read === undefined ? { sign: spectrumNats } : pops ? { sign: popcornNats } : {}),
      evidence,
    };
  },
};
