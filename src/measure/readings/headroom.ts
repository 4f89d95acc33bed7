import { amplitudeToDb, dbPerNeper, powerToDb } from "../../dsp/decibels.js";
import {
  computeDistortionPower,
  computeExcursions,
  fitTransferCurve,
  type TransferCurve,
} from "../../dsp/transfer.js";
import type { AnalyzedStep, LevelStepAnalysis } from "../level-step-analysis.js";
import type { ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import { computeResponse } from "../sweep.js";
import type { AbsentReading, Reading } from "../types.js";
import { polarity } from "./polarity.js";

/** Where headroom ends: 1 % of total harmonic distortion, as a power ratio. */
const limit = 1e-4;
const highestHarmonic = 10;

/**
 * What reading a transfer curve below the step that it was learnt from can miss, decibels at 95 %:
 * seen on soft, hard and one-sided limiters, integrated numerically, with harmonics to 20 kHz.
 */
const methodDb = 0.01;
const methodPerDb = 0.035;
/**
 * Filters behind the bend weaken its harmonics before they are heard. Seen on first-order low-passes
 * in closed form: so much is missed for each decibel of loss at 10 kHz, at 95 %.
 */
const methodPerLossDb = 0.04;
const sidePerLossDb = 0.02;
/** A curve is not read further down than this, decibels. */
const mostReachDb = 6;

/**
 * THD of a step as a power ratio, the noise's share taken off, with its standard deviation and that
 * which noise would have without any distortion.
 */
function distortionOf({ amplitudes, variances }: AnalyzedStep) {
  let power = 0;
  let spread = 0;
  let alone = 0;
  for (let k = 1; k < Math.min(highestHarmonic, amplitudes.length); k++) {
    const clear = Math.max(0, amplitudes[k] ** 2 - 2 * variances[k]);
    power += amplitudes[k] ** 2 - 2 * variances[k];
    // E[a²] = A² + 2v, var[a²] = 4·A²·v + 4·v² for an amplitude fitted in two quadratures
    spread += 4 * clear * variances[k] + 4 * variances[k] ** 2;
    alone += 4 * variances[k] ** 2;
  }
  const fundamental = amplitudes[0] ** 2;
  return {
    power: Math.max(0, power) / fundamental,
    deviation: Math.sqrt(spread) / fundamental,
    noise: Math.sqrt(alone) / fundamental,
  };
}

/** The lowest step from nominal up that distorts by 1 % or more, and the step below it. */
interface Crossing {
  readonly above: AnalyzedStep;
  readonly below: AnalyzedStep | undefined;
}

const hidden = "the noise hides 1 % of distortion";

function crossing(context: ReturnContext): Crossing | AbsentReading {
  const ladder = context.ladder();
  if (typeof ladder === "string") return { absent: ladder };
  const { steps } = ladder;
  for (const [k, step] of steps.entries()) {
    if (step.aboveNominalDb < 0) continue;
    const { power, noise } = distortionOf(step);
    if (2 * noise > limit && power < 2 * noise) return { absent: hidden };
    if (power >= limit) return { above: step, below: steps[k - 1] };
  }
  const mayReach = steps.some((step) => {
    const { power, deviation } = distortionOf(step);
    return step.aboveNominalDb >= 0 && power + 2 * deviation >= limit;
  });
  return { absent: mayReach ? hidden : unreached(ladder) };
}

function unreached({ steps, converterClippedDb }: LevelStepAnalysis): string {
  if (converterClippedDb !== undefined) {
    return `the converter clipped at ${signed(converterClippedDb)} dB, before the path reached 1 % of distortion`;
  }
  const highest = steps[steps.length - 1]?.aboveNominalDb ?? 0;
  return `above ${signed(highest)} dB, the highest level sent`;
}

/** Level at which a curve reaches the limit, decibels below the step that it was learnt from. */
function reach(transfer: TransferCurve): number {
  let low = -mostReachDb;
  let high = 0;
  for (let pass = 0; pass < 30; pass++) {
    const middle = (low + high) / 2;
    const power = computeDistortionPower(transfer, 10 ** (middle / 20), highestHarmonic);
    if (power >= limit) high = middle;
    else low = middle;
  }
  return (low + high) / 2;
}

function readHeadroom(context: ReturnContext): Reading | AbsentReading {
  const found = crossing(context);
  if ("absent" in found) return found;
  const { above, below } = found;
  const transfer = fitTransferCurve(above.amplitudes, above.phases);
  const reachDb = reach(transfer);
  const floorDb = below?.aboveNominalDb ?? Number.NEGATIVE_INFINITY;
  const value = Math.max(floorDb, above.aboveNominalDb + reachDb);
  if (value <= above.aboveNominalDb - mostReachDb + 0.01) {
    const lowestDb = above.aboveNominalDb - mostReachDb;
    return { absent: `below ${signed(lowestDb)} dB: more than 1 % of distortion already there` };
  }
  const { power, deviation } = distortionOf(above);
  const at = (db: number) =>
    powerToDb(computeDistortionPower(transfer, 10 ** (Math.min(0, db) / 20), highestHarmonic));
  const slope = Math.max(0.5, (at(reachDb) - at(reachDb - 0.1)) / 0.1);
  // What the curve does not explain of its own step: harmonics out of phase, memory.
  const missedDb = Math.abs(powerToDb(power) - at(0));
  const noiseDb = powerToDb(1 + (2 * deviation) / power);
  return {
    value,
    unit: "dB",
    uncertainty: Math.hypot(
      methodDb - methodPerDb * (value - above.aboveNominalDb),
      methodPerLossDb * trebleLossDb(context),
      missedDb / slope,
      noiseDb / slope,
    ),
  };
}

/** Response at 10 kHz against 1 kHz, the size of it; 0 where it is not known. */
function trebleLossDb(context: ReturnContext): number {
  const answer = context.sweep();
  if (typeof answer === "string") return 0;
  const ratio = computeResponse(answer, 10_000).magnitude / computeResponse(answer, 1000).magnitude;
  return ratio > 0 ? Math.abs(amplitudeToDb(ratio)) : 0;
}

function signed(db: number): string {
  return db < 0 ? `−${-db}` : `+${db}`;
}

/**
 * Level above nominal at which the total harmonic distortion of 1 kHz, harmonics 2 to 10, reaches
 * 1 % (the rated distortion of IEC 60268-3's distortion-limited output voltage). Between the steps
 * the transfer curve drawn from the waveform of the step above is read.
 */
export const headroom: ReadingKind<"headroom"> = {
  id: "headroom",
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

/** Cut-off of the harmonics and phases turned by filters, decibels at 95 %. */
const sideMethodDb = 0.05;

/**
 * Which half-wave clips first: how much further the negative one reaches than the positive, at the
 * first step above 1 % of distortion. Positive where the positive half-wave of the signal as sent
 * is cut, negative where the negative one is, near zero where both are.
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
    if ("absent" in found) return { absent: `nothing clips: ${found.absent}` };
    const upright = polarity.read(context);
    if ("absent" in upright) return upright;
    const { amplitudes, phases, variances } = found.above;
    const { positive, negative } = computeExcursions(fitTransferCurve(amplitudes, phases));
    if (!(positive > 0 && negative > 0))
      return { absent: "the waveform is no longer that of a tone" };
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
