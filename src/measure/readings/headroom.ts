import { amplitudeToDb, dbPerNeper } from "../../dsp/decibels.js";
import { computeExcursions, fitTransferCurve } from "../../dsp/transfer.js";
import { type Absence, type Absent, isAbsent } from "../absence.js";
import type { AnalyzedStep, LevelStepAnalysis } from "../level-step-analysis.js";
import {
  computeStepDistortion,
  findOverloadLevel,
  type OverloadedSteps,
  overloadLimit,
} from "../overload-level.js";
import { computePathFilter } from "../path-filter.js";
import type { ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import { computeResponse } from "../sweep.js";
import type { Reading } from "../types.js";
import { polarity } from "./polarity.js";

/**
 * Error of a side per decibel of loss at 10 kHz: filters after the nonlinearity shift the phases.
 */
const sidePerLossDb = 0.02;

const hidden: Absence = { code: "overload-in-noise" };

/** The lowest step from nominal up that distorts by 1 % or more, and its neighbours. */
function crossing(context: ReturnContext): OverloadedSteps | Absent {
  const ladder = context.ladder();
  if (isAbsent(ladder)) return ladder;
  const steps = withNominal(ladder.steps, context);
  for (const [k, step] of steps.entries()) {
    if (step.aboveNominalDb < 0) continue;
    const { power, noise } = computeStepDistortion(step);
    if (2 * noise > overloadLimit && power < 2 * noise) return { absent: hidden };
    if (power >= overloadLimit) {
      return { above: step, below: steps[k - 1], beyond: steps[k + 1] };
    }
  }
  const mayReach = steps.some((step) => {
    const { power, stdDev } = computeStepDistortion(step);
    return step.aboveNominalDb >= 0 && power + 2 * stdDev >= overloadLimit;
  });
  return { absent: mayReach ? hidden : unreached(ladder) };
}

/** If all steps are above nominal, the tone serves as the one at nominal. */
function withNominal(
  steps: readonly AnalyzedStep[],
  context: ReturnContext,
): readonly AnalyzedStep[] {
  const tone = context.tone("tone-1k");
  if (isAbsent(tone) || !steps.every(({ aboveNominalDb }) => aboveNominalDb > 0)) {
    return steps;
  }
  const { amplitudes, phases, variances } = tone;
  const level = { amplitude: amplitudes[0], variance: variances[0] };
  return [{ aboveNominalDb: 0, amplitudes, phases, variances, level }, ...steps];
}

function unreached({ steps, converterClippedDb }: LevelStepAnalysis): Absence {
  if (converterClippedDb !== undefined) {
    return { code: "clipped-before-overload", aboveNominalDb: converterClippedDb };
  }
  const highest = steps[steps.length - 1]?.aboveNominalDb ?? 0;
  return { code: "above-highest-step", aboveNominalDb: highest };
}

const toneHz = 1000;

function readHeadroom(context: ReturnContext): Reading | Absent {
  const found = crossing(context);
  if (isAbsent(found)) return found;
  const { above } = found;
  const count = above.amplitudes.length;
  const level = findOverloadLevel(found, computePathFilter(context.sweep(), toneHz, count));
  if ("belowDb" in level) {
    return { absent: { code: "below-lowest-step", aboveNominalDb: level.belowDb } };
  }
  return { value: level.db, unit: "dB", uncertainty: level.uncertainty };
}

/** Magnitude of the response at 10 kHz relative to 1 kHz, decibels; 0 if not known. */
function trebleLossDb(context: ReturnContext): number {
  const answer = context.sweep();
  if (isAbsent(answer)) return 0;
  const ratio = computeResponse(answer, 10_000).magnitude / computeResponse(answer, 1000).magnitude;
  return ratio > 0 ? Math.abs(amplitudeToDb(ratio)) : 0;
}

/**
 * Level above nominal at which the total harmonic distortion of 1 kHz, harmonics 2 to 10, reaches 1
 * % (the rated distortion of IEC 60268-3's distortion-limited output voltage). Between the steps it
 * is read from the transfer curve of the step above.
 */
export const headroom: ReadingKind<"headroom"> = {
  id: "headroom",
  role: "overload-level",
  name: "headroom",
  unit: "dB",
  definition: "level above nominal at which distortion reaches 1 %",
  source: "after IEC 60268-3",
  segment: "steps-1k",
  aspect: "overload",
  harm: "down",
  least: 1,
  batch: { group: "headroom" },
  evidence: { group: "headroom", order: 120 },
  shared: {
    order: 110,
    group: "headroom",
    aspect: "clipping",
    harm: "down",
    scatter: 0.5,
    least: 1.5,
    leastChange: 1.95,
    expected: "headroomDb",
  },
  share: "least",
  levelDependence: "headroom",
  ageing: { order: 80, scale: "plain", wants: "a look at its rails" },
  read: readHeadroom,
};

/** Decibels at 95 % from the limited number of harmonics and from filter phase. */
const sideMethodDb = 0.05;

/**
 * Clipping asymmetry: how much further the negative half-wave extends than the positive, at the
 * first step above 1 % distortion. Positive if the positive half-wave of the signal as sent is
 * clipped, negative if the negative one is, near zero if both are.
 */
export const clipSide: ReadingKind<"clipSide"> = {
  id: "clipSide",
  name: "clipping of the positive half-wave before the negative",
  unit: "dB",
  definition: "how much further the negative half-wave reaches there than the positive",
  source: "common practice",
  segment: "steps-1k",
  aspect: "overload",
  harm: "none",
  least: 0,
  levelDependence: "mixed",
  leastChange: 1,
  detail: true,
  read(context) {
    const found = crossing(context);
    if (isAbsent(found)) return { absent: { code: "nothing-clips", because: found.absent } };
    const upright = polarity.read(context);
    if (isAbsent(upright)) return upright;
    const { amplitudes, phases, variances } = found.above;
    const { positive, negative } = computeExcursions(fitTransferCurve(amplitudes, phases));
    if (!(positive > 0 && negative > 0)) return { absent: { code: "not-a-tone" } };
    const noise = Math.sqrt(variances.reduce((sum, v) => sum + v, 0));
    return {
      value: upright.value * amplitudeToDb(negative / positive),
      unit: "dB",
      uncertainty: Math.hypot(
        sideMethodDb,
        sidePerLossDb * trebleLossDb(context),
        2 * dbPerNeper * noise * (1 / positive + 1 / negative),
      ),
    };
  },
};
