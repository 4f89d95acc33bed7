import { amplitudeToDb, dbPerNeper } from "../../dsp/decibels.js";
import { isAbsent } from "../absence.js";
import type { AnalyzedStep } from "../level-step-analysis.js";
import type { ReadingKind } from "../reading-kind.js";

/** Ratio to the noise's amplitude required of a step. */
const leastSignalToNoise = 5;
/**
 * Decibels; a step known to this counts, which is the threshold of the reading. A less certain one
 * counts only if its deviation exceeds its uncertainty by this factor.
 */
const mostDoubtDb = 0.2;
const clearOfDoubt = 1.5;
/** Student's factor for the roughly forty degrees of freedom of a step's noise. */
const coverage = 2.02;
/** What settling and rounding add, decibels at 95 %. */
const methodDb = 0.0005;

/**
 * Gain of a step, decibels, and its standard deviation; without the noise's share.
 *
 * @example
 * const level = { amplitude: dbToAmplitude(-40.5), variance: 0 };
 * computeStepGain({ level, aboveNominalDb: -40 }).db; // -0.5
 */
export function computeStepGain({ level, aboveNominalDb }: AnalyzedStep) {
  const { amplitude, variance } = level;
  // E[a] = A + v/2A for an amplitude fitted in two quadratures
  const clear = amplitude - variance / (2 * amplitude);
  return {
    db: amplitudeToDb(clear) - aboveNominalDb,
    stdDev: (dbPerNeper * Math.sqrt(variance)) / clear,
    heard: amplitude > leastSignalToNoise * Math.sqrt(2 * variance),
  };
}

/**
 * Low-level linearity: among the steps below nominal, the gain that differs most from that at
 * nominal. Negative if a weak tone is lost, e.g. in a bad contact or by crossover distortion.
 */
export const linearity: ReadingKind<"linearity"> = {
  id: "linearity",
  name: "gain at low level against nominal",
  endsInLevel: true,
  unit: "dB",
  definition: "of the steps below nominal the gain that differs most from that at nominal",
  source: "common practice",
  segment: "steps-1k",
  aspect: "linearity",
  role: "step-gain",
  harm: "both",
  // Good contacts and healthy stages stay within two tenths (common practice, no source).
  least: mostDoubtDb,
  share: "shift",
  evidence: { group: "linearity", order: 130 },
  underHum: [-1.5, 1.5],
  read(context) {
    const ladder = context.ladder();
    if (isAbsent(ladder)) return ladder;
    const low = ladder.steps.filter(({ aboveNominalDb }) => aboveNominalDb < 0);
    const nominal = ladder.steps.find(({ aboveNominalDb }) => aboveNominalDb === 0);
    if (low.length === 0 || !nominal) {
      return {
        absent: {
          code: "not-in-signal",
          part: "low-steps",
          profile: context.audio.table.profile,
        },
      };
    }
    const reference = computeStepGain(nominal);
    const heard = low.map(computeStepGain).filter((step) => step.heard);
    if (!reference.heard || heard.length === 0) {
      return { absent: { code: "low-steps-in-noise" } };
    }
    const steps = heard
      .map(({ db, stdDev }) => ({
        off: db - reference.db,
        doubt: Math.hypot(methodDb, coverage * Math.hypot(stdDev, reference.stdDev)),
      }))
      .filter(({ off, doubt }) => doubt <= mostDoubtDb || Math.abs(off) > clearOfDoubt * doubt);
    if (steps.length === 0) return { absent: { code: "low-steps-in-noise" } };
    const most = steps.reduce((a, b) => (Math.abs(b.off) > Math.abs(a.off) ? b : a));
    // A noisier step may hide more than the largest deviation seen.
    const hidden = Math.max(...steps.map(({ off, doubt }) => Math.abs(off) + doubt));
    return {
      value: most.off,
      unit: "dB",
      uncertainty: Math.max(most.doubt, hidden - Math.abs(most.off)),
    };
  },
};
