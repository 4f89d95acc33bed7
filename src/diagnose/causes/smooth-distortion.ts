import { powered, solderingRisk, unplugged } from "../bench.js";
import { bendsInHalves, isSmoothBend, readBendLaw } from "../bend-law.js";
import { anyDeviation, type DeviationRange, formatDb, type PredictedCause } from "../cause-kind.js";
import { createEvidence, type EvidenceWords } from "../evidence.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** A capacitor or a core distorts 1 kHz by this much less than 100 Hz, decibels. */
const lowOnlyDb = 6;
/** Uncertainty of the distortion of the loud step by the law found, decibels. */
const aboutLawDb = 4;
/**
 * The distortion of a shifted bias or a load grows with level. Only a pair of unequal halves
 * distorts all levels by the same amount, and few stages have one: nats (a guess).
 */
const halvesNats = -1.5;
/** By how much such halves raise distortion at nominal above the siblings', decibels. */
const halvesDb: DeviationRange = [3, 60];
/** The most by which the nonlinearity changes the level, decibels. */
const gainDb = 0.5;

const says = {
  "no-threshold": ({ nominalDb, hotDb }: Readonly<Record<"nominalDb" | "hotDb", number>>) =>
    `distortion ${formatDb(nominalDb)} at nominal, ${formatDb(hotDb)} 12 dB above, with no threshold in between`,
  law: ({ slope }: { readonly slope: number }) =>
    `it grows by ${slope.toFixed(1)} dB per decibel of level: a second harmonic grows by 1, a third by 2`,
  "low-tones": ({ at100Db, at1kDb }: Readonly<Record<"at100Db" | "at1kDb", number>>) =>
    `distortion at 100 Hz ${formatDb(at100Db)}, at 1 kHz ${formatDb(at1kDb)}`,
} satisfies EvidenceWords;
const seen = createEvidence("smooth-distortion", says);

/**
 * A stage whose operating point is off, or that drives too low a load, distorts every swing along a
 * smooth curve: the second harmonic grows with the level, the third with its square, and there is
 * no threshold.
 */
export const smoothDistortion: PredictedCause<"smooth-distortion"> = {
  id: "smooth-distortion",
  name: "smooth distortion: bias shifted, a stage loaded or run single-ended, transformer magnetised",
  word: "bent stage",
  kind: "fault",
  shownBy: ["round", "meter", "use"],
  prior: 0.05,
  answers: { "level-down": 0.5, "other-input": 0.3 },
  settle: powered(
    "measure the DC voltages at the stage's transistors or at its op amp's output and inputs, and compare with a sibling: a shifted operating point shows there; if none is shifted, look for the load that the stage drives, or demagnetise the transformer",
    ["multimeter", "extender"],
  ),
  ready: "resistors, coupling capacitors and transistors of the stage's values",
  confusedWith: [
    {
      cause: "early-clipping",
      check:
        "play the tone 12 dB lower: smooth distortion remains, in proportion, clipping disappears",
    },
    {
      cause: "crossover-distortion",
      check: "play the tone 12 dB lower: crossover distortion grows, smooth distortion decreases",
    },
    {
      cause: "leaky-capacitor",
      check:
        "measure the DC voltage after each coupling capacitor: a leak there shifts the bias of the stage it feeds",
    },
  ],
  bench: {
    steps: [
      powered(
        "Measure the DC voltages of the stage, at its transistors or at the op amp's output and inputs, and compare each with a sibling's",
        ["multimeter", "extender"],
      ),
      unplugged(
        "With the desk off, unplugged and discharged, measure the bias resistors, one end lifted, the leakage of the coupling capacitors and the resistance that the stage works into, and compare with a sibling",
        undefined,
        ["multimeter"],
      ),
    ],
    repair:
      "Replace the bias resistor, the leaking capacitor or the transistor that shifted; demagnetise the transformer if there is one.",
    parts: [
      { role: "resistor", count: 2 },
      { role: "coupling capacitor", count: 1 },
      { role: "bias parts", count: 1 },
    ],
    minutes: 45,
    risks: solderingRisk,
    source: "harmonics of a power series: textbook; where to look: common practice, no source",
  },
  notes: [{ symptoms: { distorted: 2.5 } }],
  says,
  predict(path) {
    const nominal = getDeviation(path, "thd") ?? 0;
    const low = getDeviation(path, "thd100");
    const smooth = isSmoothBend(path);
    // Iron cores and capacitors distort only low tones.
    const lowOnly =
      smooth === undefined &&
      low !== undefined &&
      isOutlier(path, "thd100", "up") &&
      low > nominal + lowOnlyDb;
    if (!smooth && !lowOnly) return undefined;
    const hot = getDeviation(path, "thdHot") ?? nominal;
    const law = readBendLaw(path);
    const halves = bendsInHalves(path);
    return {
      moves: {
        thd: halves ? halvesDb : smooth ? [0, 80] : [0, 30],
        thd100: halves ? halvesDb : [0, 80],
        thdHot: smooth ? [Math.max(0, hot - aboutLawDb), hot + aboutLawDb] : [0, 10],
        imd: halves ? halvesDb : [0, 60],
        compression: [-3, 1],
        headroom: [-30, 0.5],
        linearity: [-1, 1],
        gain: [-gainDb, gainDb],
        dc: anyDeviation,
      },
      ...(halves ? { sign: halvesNats } : {}),
      evidence: smooth
        ? [
            seen("no-threshold", { nominalDb: nominal, hotDb: hot }),
            ...(law ? [seen("law", { slope: law.slope })] : []),
          ]
        : [seen("low-tones", { at100Db: low ?? 0, at1kDb: nominal })],
    };
  },
};
