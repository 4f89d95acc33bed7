import { computePowerReading } from "./above-noise.js";
import { isAbsent } from "./absence.js";
import { computeStepGain } from "./readings/linearity.js";
import type { ReturnContext } from "./return-context.js";
import type { LevelStep } from "./types.js";

/** Harmonics that count as distortion (IEC 60268-3: total harmonic distortion). */
const lowestOrder = 2;
const highestOrder = 10;
/** What settling and rounding add, decibels at 95 %. */
const methodDb = 0.0005;

/**
 * The level steps: gain relative to that at nominal, and distortion. Steps below the noise, or that
 * clip the converter, are left out; a signal of a single step has none.
 *
 * @returns the steps, the lowest first
 * @example
 * const context = createReturnContext(audio);
 *
 * // The quick signal has one step, and none at nominal to hold it against.
 * computeLevelSteps(context); // []
 */
export function computeLevelSteps(context: ReturnContext): readonly LevelStep[] {
  if (!context.audio.table.segments.some(({ kind }) => kind === "steps")) return [];
  const ladder = context.ladder();
  if (isAbsent(ladder)) return [];
  const nominal = ladder.steps.find(({ aboveNominalDb }) => aboveNominalDb === 0);
  if (nominal === undefined) return [];
  const reference = computeStepGain(nominal);
  if (!reference.heard) return [];
  return ladder.steps.flatMap((step): readonly LevelStep[] => {
    const { db, stdDev, heard } = computeStepGain(step);
    if (!heard) return [];
    const { amplitudes, variances, aboveNominalDb } = step;
    const thd = computePowerReading(
      [...amplitudes.subarray(lowestOrder - 1, highestOrder)],
      [...variances.subarray(lowestOrder - 1, highestOrder)],
      amplitudes[0],
    );
    const clear = thd.limitedBy === undefined && Number.isFinite(thd.value);
    return [
      {
        aboveNominalDb,
        gainDb: db - reference.db,
        uncertainty: Math.hypot(methodDb, 2 * Math.hypot(stdDev, reference.stdDev)),
        ...(clear ? { distortionDb: thd.value } : {}),
      },
    ];
  });
}
