import { commonPractice, powered, solderingRisk, unplugged } from "../bench.js";
import { isSmoothBend } from "../bend-law.js";
import { anyDeviation, formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type Evidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

const says = {
  "grows-with-level": ({ hotDb, nominalDb }: Readonly<Record<"hotDb" | "nominalDb", number>>) =>
    `distortion ${formatDb(hotDb)} 12 dB above nominal, ${formatDb(nominalDb)} at nominal: it grows with level`,
  squeezed: ({ db }: { readonly db: number }) =>
    `compressed by ${formatDb(db)} 12 dB above nominal`,
  "less-headroom": ({ db }: { readonly db: number }) => `headroom ${formatDb(db)}`,
} satisfies EvidenceWords;
const seen = createEvidence("early-clipping", says);

/** A stage that has lost rail or bias runs out of swing: distortion grows with level. */
export const earlyClipping: PredictedCause<"early-clipping"> = {
  id: "early-clipping",
  name: "early or one-sided clipping: DC voltage, missing rail or resistor off value",
  word: "clipping",
  kind: "fault",
  sharedAspect: "clipping",
  shownBy: ["round", "meter", "use"],
  prior: 0.06,
  answers: { "level-down": 0.95, "other-input": 0.3 },
  settle: powered(
    "measure the DC voltage at the output of each op amp of the strip first: an offset that its siblings lack makes one side clip early; then measure the supply rails there",
    ["multimeter", "extender"],
  ),
  ready: "op amps and resistors of the strip's values, its supply fuse or feed resistors",
  confusedWith: [
    {
      cause: "smooth-distortion",
      check:
        "lower the level by 12 dB: clipping disappears below its threshold, smooth distortion only decreases",
    },
    {
      cause: "oscillation",
      check:
        "look at the waveform: a missing rail flattens one side and leaves smaller signals clean",
    },
    {
      cause: "gain-off",
      check: "set the gain to its mark: a stage driven harder clips earlier too",
    },
    {
      cause: "op-amp-latched",
      check:
        "measure DC voltage at the outputs: a resistor does not cause an offset of several volts",
    },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the bias and feedback resistors of the stage, one end lifted, and compare with a sibling",
        undefined,
        ["multimeter"],
      ),
    ],
    repair: "Replace the op amp, the open supply feed or the resistor that is out of tolerance.",
    parts: [
      { role: "op amp", count: 1 },
      { role: "resistor", count: 2 },
    ],
    minutes: 40,
    risks: [...solderingRisk, "leave supply work to licensed people"],
    source: commonPractice,
  },
  notes: [{ symptoms: { distorted: 4, "clips-early": 6 } }],
  meter: [{ kind: "rail", when: "out", weight: "raises" }],
  says,
  predict(path) {
    const hot = getDeviation(path, "thdHot");
    const headroom = getDeviation(path, "headroom");
    const squeezed = getDeviation(path, "compression") ?? 0;
    const clips =
      isOutlier(path, "thdHot", "up") ||
      isOutlier(path, "headroom", "down") ||
      isOutlier(path, "compression", "down");
    if (!clips) return undefined;
    const nominal = getDeviation(path, "thd") ?? 0;
    // A stage that clips at nominal may be all clipped 12 dB above; but then it is compressed
    // there.
    const squeezes = isOutlier(path, "compression", "down");
    if (hot !== undefined && hot < nominal - 3 && !squeezes) return undefined;
    // Clipping has a threshold: harmonics that follow the law of their order show that there is
    // none.
    if (isSmoothBend(path)) return undefined;
    const evidence: Evidence[] = [];
    if (hot !== undefined && isOutlier(path, "thdHot", "up")) {
      evidence.push(seen("grows-with-level", { hotDb: hot, nominalDb: nominal }));
    }
    if (squeezed < -0.2) evidence.push(seen("squeezed", { db: squeezed }));
    if (headroom !== undefined && headroom < -1)
      evidence.push(seen("less-headroom", { db: headroom }));
    return {
      moves: {
        // where siblings hardly distort at all
        thdHot: [Math.min(3, hot ?? 3), 110],
        compression: [-14, 0.2],
        headroom: [-30, -0.5],
        thd: [-1, 110],
        thd100: [-1, 110],
        imd: [-1, 110],
        linearity: [-1, 3],
        dc: anyDeviation,
        gain: [-1, 0.5],
      },
      evidence,
    };
  },
};
