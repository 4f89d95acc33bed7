import { commonPractice, inUse, polarityRisk, powered, solderingRisk } from "../bench.js";
import {
  anyDeviation,
  type PredictedCause,
  predictHissRanges,
  predictHumRanges,
} from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { isBursty, isOutlier } from "../path-evidence.js";

const says = {
  "low-noise": () => "noise that rises towards low frequency, typical of leakage",
  "direct-voltage": () => "a DC voltage that its siblings do not have",
  clicks: () => "clicks in the silence",
  crackles: () => "the noise crackles: it comes in bursts, unlike the hiss of a device",
} satisfies EvidenceWords;
const seen = createEvidence("leaky-capacitor", says);

/**
 * Leakage puts a DC voltage on a control or switch: it scratches at every turn, and adds
 * low-frequency noise.
 */
export const leakyCapacitor: PredictedCause<"leaky-capacitor"> = {
  id: "leaky-capacitor",
  name: "leaky coupling capacitor: DC voltage on a control",
  word: "leaky cap",
  kind: "fault",
  shownBy: ["meter", "controls pass", "round", "use"],
  prior: 0.04,
  answers: { controls: 0.85, "gain-down": 0.4, again: 0.15, "other-input": 0.5 },
  settle: inUse(
    "turn gain and fader while listening at low level: scratch along the whole travel means DC voltage on the control, scratch at certain spots means wear",
  ),
  ready: "electrolytics of the strip's coupling values",
  confusedWith: [
    {
      cause: "noisy-device",
      check:
        "measure the DC voltage across the next control: if there is none, the fault is the device",
    },
    {
      cause: "worn-gain-control",
      check:
        "a leaking capacitor makes the whole track scratch, a worn control only its worn spots",
    },
    {
      cause: "op-amp-latched",
      check: "measure the output of the stage before it: volts there come from the op amp",
    },
  ],
  bench: {
    steps: [
      powered(
        "Measure the DC voltage before and after each coupling capacitor: after a good one there are a few millivolts. A voltage that does no harm at the end of a strip matters ahead of a gain stage: 40 dB turn 20 mV into 2 V",
        ["multimeter", "extender"],
      ),
    ],
    repair:
      "Replace the leaking capacitor with one of the same value and voltage rating as in the neighbouring strips.",
    parts: [{ role: "coupling capacitor", count: 2 }],
    minutes: 30,
    risks: [...polarityRisk, ...solderingRisk],
    source: commonPractice,
  },
  notes: [
    { controls: ["mute", "solo", "pad", "low-cut", "equaliser"], symptoms: { pop: 7 } },
    { controls: ["gain", "fader", "send", "pan"], symptoms: { scratch: 3, crackle: 2, pop: 5 } },
    { symptoms: { scratch: 3, crackle: 2, pop: 5 } },
  ],
  meter: [{ kind: "direct", when: "out", belowV: 1, weight: "raises" }],
  says,
  predict(path) {
    const clicks = isOutlier(path, "clicks", "up");
    const offset = isOutlier(path, "dc", "up") || isOutlier(path, "dc", "down");
    const rumble = isOutlier(path, "noiseSlope", "down");
    const bursty = isBursty(path);
    if (!clicks && !offset && !rumble && !bursty) return undefined;
    const evidence: Evidence[] = [];
    if (rumble) evidence.push(seen("low-noise"));
    if (offset) evidence.push(seen("direct-voltage"));
    if (clicks) evidence.push(seen("clicks"));
    if (bursty) evidence.push(seen("crackles"));
    return {
      moves: {
        dc: anyDeviation,
        clicks: [-1, 200],
        burstiness: bursty ? [0, 60] : [-1, 2],
        noiseSlope: [-6, 1],
        // the control's operating point moves with the voltage on it
        thd: [-1, 15],
        thd100: [-1, 15],
        thdHot: [-1, 10],
        imd: [-1, 15],
        ...predictHissRanges([-1, bursty ? 50 : 15]),
        // Crackle is broadband, so it also raises the level between and under the mains harmonics.
        ...(bursty ? predictHumRanges([-1, 30], [-1, 30]) : {}),
      },
      evidence,
    };
  },
};
