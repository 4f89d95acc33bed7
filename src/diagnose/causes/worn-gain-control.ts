import { cleanerRisk, commonPractice, inUse, unplugged } from "../bench.js";
import {
  formatDb,
  type PredictedCause,
  predictHissRanges,
  predictLevelRanges,
} from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { breakNats, listBreaks, summarizeBreaks, waverNats } from "../level-breaks.js";
import { findLevelJumps, getDeviation, isEvenHiss, isOutlier } from "../path-evidence.js";

/** A gain this close to its mark counts as set right, decibels. */
const calmDb = 1;
/** A wiper's contact may drift by this much between tones without a jump, decibels. */
const driftDb = 2;

const says = {
  unsteady: ({ gainDb }: { readonly gainDb: number }) =>
    `the level is not steady (gain ${formatDb(gainDb)} against its siblings)`,
} satisfies EvidenceWords;
const seen = createEvidence("worn-gain-control", says);

/** A worn track or wiper: the level is off and unsteady, and the control crackles when touched. */
export const wornGainControl: PredictedCause<"worn-gain-control"> = {
  id: "worn-gain-control",
  name: "worn or dirty gain control",
  word: "worn pot",
  kind: "fault",
  shownBy: ["controls pass", "round", "use"],
  seat: ["input stage"],
  prior: 0.06,
  answers: {
    "gain-worked": 0.7,
    marks: 0.35,
    again: 0.3,
    controls: 0.9,
    switches: 0.2,
    "other-input": 0.8,
  },
  idles: ["gain-down"],
  settle: inUse(
    "turn the control back and forth a dozen times while the tone plays: crackle or jumps confirm it",
    undefined,
    ["tone 1 kHz"],
  ),
  ready: "contact cleaner, a control of the same kind and value",
  tryNow: "turn the gain from end to end a few times and back to its mark",
  confusedWith: [
    {
      cause: "dirty-contact",
      check:
        "leave the control alone and work the switches and the plug: a control crackles only when it is turned",
    },
    {
      cause: "leaky-capacitor",
      check:
        "measure DC voltage across the control: above about 20 mV (much less ahead of a gain stage) it points to the capacitor before it",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance from wiper to each end while the control is turned slowly: it must move without a jump",
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Clean the control; replace it if cleaning does not last.",
    parts: [
      { role: "control", count: 1 },
      { role: "contact cleaner", count: 1 },
    ],
    minutes: 30,
    risks: [...cleanerRisk, "do not overtighten the nut"],
    source: commonPractice,
  },
  notes: [
    {
      controls: ["gain"],
      symptoms: { scratch: 8, crackle: 8 },
      otherwise: 6,
      sure: ["scratch", "crackle"],
    },
    { symptoms: { scratch: 6, crackle: 3, quiet: 2, loud: 3, unsteady: 3 } },
  ],
  says,
  predict(path) {
    const moved = getDeviation(path, "gain") ?? 0;
    const jumps = findLevelJumps(path);
    const wavers = isOutlier(path, "instability", "up") || isOutlier(path, "instability100", "up");
    const breaks = listBreaks(path.measurement?.marks);
    const shaky =
      jumps !== undefined || breaks.length > 0 || wavers || isOutlier(path, "clicks", "up");
    if (!shaky || Math.abs(moved) > 20) return undefined;
    const calm =
      Math.abs(moved) < calmDb &&
      !(["hiss", "noiseA", "noise"] as const).some((id) => isOutlier(path, id, "up"));
    const distortion = 2 * Math.min(0, moved) - 4;
    return {
      moves: {
        ...predictLevelRanges(moved),
        // an intermittent wiper adds crackle, strongest at low frequency
        ...predictHissRanges([-Math.abs(moved) - 1, Math.abs(moved) + (isEvenHiss(path) ? 1 : 60)]),
        noiseSlope: [-15, 2],
        // crackle falls into the harmonics of low tones, and hardly near 20 kHz
        thd: [distortion, 25],
        thd100: [distortion, 55],
        thdHot: [distortion, 15],
        imd: [distortion, 6],
        compression: [-3, 3],
        gain: [-20, 20],
        instability: [0, 200],
        instability100: [0, 200],
        clicks: [0, 200],
        burstiness: [0, 60],
        breaks: [0, 200],
        linearity: [-3, 3],
      },
      wander: jumps ?? driftDb,
      // An untouched wiper seldom makes the level unsteady without crackle or a wrong level.
      fitted: calm ? 2 : 0,
      // A wiper breaks like a contact, so breaks do not separate the two.
      ...(breaks.length > 0 ? { sign: breakNats } : wavers ? { sign: waverNats } : {}),
      evidence: [
        seen("unsteady", { gainDb: moved }),
        ...(breaks.length > 0 ? [summarizeBreaks(breaks)] : []),
      ],
    };
  },
};
