import { amplitudeToDb, dbPerNeper } from "../../dsp/decibels.js";
import { type Absent, isAbsent, oneSideRecorded } from "../absence.js";
import { boundDb } from "../is-bound.js";
import type { ReadingKind } from "../reading-kind.js";
import { findSegment } from "../return-audio.js";
import type { ReturnContext } from "../return-context.js";
import { minSignalToNoise, type ToneAnalysis } from "../tone.js";
import type { Reading } from "../types.js";

const toneName = "tone-1k";

/** Rounding and settling of the two fits, decibels and degrees at 95 %. */
const methodDb = 3e-5;
const methodDegrees = 2e-4;
const degrees = 180 / Math.PI;

interface Sides<T> {
  readonly left: T;
  readonly right: T;
}

function sides<T>(context: ReturnContext, own: T, other: T): Sides<T> {
  return context.audio.partner?.side === "left"
    ? { left: other, right: own }
    : { left: own, right: other };
}

const inStereo = (context: ReturnContext) => context.audio.partner !== undefined;

/**
 * Balance of a stereo bus: level of the left side minus that of the right, 1 kHz. If one side has
 * no tone above its noise, a bound in that direction.
 */
export const balance: ReadingKind<"balance"> = {
  id: "balance",
  name: "balance",
  unit: "dB",
  definition: "level of the left side less that of the right at 1 kHz",
  source: "common practice",
  segment: toneName,
  aspect: "balance",
  role: "balance",
  sides: "both",
  harm: "both",
  // A pan pot's detent is within about a decibel of the middle (common practice, no source).
  least: 1,
  share: "shift",
  applies: inStereo,
  read(context) {
    const own = context.tone(toneName);
    const partner = context.partner();
    if (isAbsent(own)) return own;
    const other = partner?.tone(toneName) ?? oneSideRecorded;
    if (isAbsent(other)) return oneSided(context, own, partner, other);
    const { left, right } = sides(context, own, other);
    return {
      value: amplitudeToDb(left.amplitudes[0] / right.amplitudes[0]),
      unit: "dB",
      uncertainty: Math.hypot(methodDb, 2 * dbPerNeper * relativeDeviation(left, right)),
    };
  },
};

/** The silent side is below the weakest tone that would have been found. */
function oneSided(
  context: ReturnContext,
  own: ToneAnalysis,
  partner: ReturnContext | undefined,
  why: Absent,
): Reading | Absent {
  const tone = findSegment(context.audio.table, "tone", toneName);
  const silence = partner?.silence();
  if (!tone || !silence || isAbsent(silence)) return why;
  const density = silence.density[Math.round(tone.frequencyHz / silence.stepHz)];
  const most = (minSignalToNoise * Math.SQRT2 + 2) * Math.sqrt(density / tone.lengthS);
  if (!(most > 0)) return { absent: { code: "digital-zero", of: "one-side" } };
  const least = amplitudeToDb(own.amplitudes[0] / most);
  const louder = sides(context, 1, -1).left;
  return {
    value: louder * least,
    unit: "dB",
    uncertainty: boundDb,
    limitedBy: "noise",
    bound: louder > 0 ? "lower" : "upper",
  };
}

/** Phase of a stereo bus: left side minus right at 1 kHz, −180° to 180°. */
export const stereoPhase: ReadingKind<"stereoPhase"> = {
  id: "stereoPhase",
  name: "phase between the sides",
  unit: "°",
  definition: "phase of the left side less that of the right at 1 kHz",
  source: "common practice",
  segment: toneName,
  aspect: "side-phase",
  period: 360,
  sides: "both",
  harm: "both",
  // Mono sums lose 0.1 dB at 17° and 0.03 dB at 10° (closed form: |1 + e^jφ|/2).
  least: 10,
  share: "shift",
  applies: inStereo,
  read(context) {
    const own = context.tone(toneName);
    if (isAbsent(own)) return own;
    const other = context.partner()?.tone(toneName) ?? oneSideRecorded;
    if (isAbsent(other)) return { absent: { code: "of-other-side", because: other.absent } };
    const { left, right } = sides(context, own, other);
    const off = left.phases[0] - right.phases[0];
    return {
      value: degrees * Math.atan2(Math.sin(off), Math.cos(off)),
      unit: "°",
      uncertainty: Math.hypot(methodDegrees, 2 * degrees * relativeDeviation(left, right)),
    };
  },
};

/** In a fitted tone the deviation of the phase, radians, is that of the amplitude, relative. */
function relativeDeviation(left: ToneAnalysis, right: ToneAnalysis): number {
  return Math.hypot(
    Math.sqrt(left.variances[0]) / left.amplitudes[0],
    Math.sqrt(right.variances[0]) / right.amplitudes[0],
  );
}
