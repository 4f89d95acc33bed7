import { amplitudeToDb, dbPerNeper, powerToDb } from "../../dsp/decibels.js";
import { computeBandPower } from "../../dsp/welch.js";
import { computePowerReading, minUncertaintyDb } from "../above-noise.js";
import { computeNoiseUncertaintyDb } from "../power-uncertainty.js";
import type { ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import type { ToneAnalysis } from "../tone.js";
import type { AbsentReading, Reading } from "../types.js";

/** Harmonics and noise count up to here (AES17, THD+N). */
const topHz = 20_000;
const bottomHz = 20;

/** The share of a mains line that a fit beside it takes, as a share of itself, one deviation. */
const hiddenDoubt = 0.3;

type Tone = (context: ReturnContext) => ToneAnalysis | string;

function inBand(tone: ToneAnalysis, k: number): boolean {
  return k < tone.amplitudes.length && (k + 1) * tone.frequencyHz <= topHz;
}

function readThd(tone: ToneAnalysis): Reading {
  const orders = [1, 2, 3, 4, 5, 6, 7, 8, 9].filter((k) => inBand(tone, k));
  return computePowerReading(
    orders.map((k) => tone.amplitudes[k]),
    orders.map((k) => tone.variances[k]),
    tone.amplitudes[0],
  );
}

function readThdN(tone: ToneAnalysis): Reading {
  const { power, deviation } = computeBandPower(tone.rest, bottomHz, topHz);
  let harmonic = 0;
  let beats = 0;
  for (let k = 1; inBand(tone, k); k++) {
    harmonic += tone.amplitudes[k] ** 2 / 2;
    // var(a²/2) = A²·v for an amplitude of variance v
    beats += tone.amplitudes[k] ** 2 * tone.variances[k];
  }
  // A line of the mains on the fundamental went out with it; how much of it, is known roughly.
  const total = power + harmonic + tone.hidden;
  const fundamental = tone.amplitudes[0] ** 2 / 2;
  const spread = Math.hypot(deviation, Math.sqrt(beats), hiddenDoubt * tone.hidden);
  return {
    value: powerToDb(Math.max(total, Number.MIN_VALUE) / fundamental),
    unit: "dB",
    uncertainty: Math.max(minUncertaintyDb, computeNoiseUncertaintyDb(total, spread)),
  };
}

function distortionKind(
  id: string,
  name: string,
  segment: string,
  tone: Tone,
  figure: (tone: ToneAnalysis) => Reading | AbsentReading,
  harm: "up" | "none",
  least: number,
): ReadingKind {
  return {
    id,
    name,
    unit: "dB",
    harm,
    least,
    segment,
    own: id === "thdN" ? { adds: "power", steady: "thd" } : { adds: "phase" },
    read(context) {
      const answer = tone(context);
      return typeof answer === "string" ? { absent: answer } : figure(answer);
    },
  };
}

const tone1k: Tone = (context) => context.tone("tone-1k");
const tone100: Tone = (context) => context.tone("tone-100");

/** How far above nominal the distortion near full level is read, decibels. */
const hotDb = 12;
const hot: Tone = (context) => context.step(hotDb);

/** Total harmonic distortion at 1 kHz, harmonics 2 to 10 against the fundamental (IEC 60268-3). */
export const thd = distortionKind("thd", "distortion", "tone-1k", tone1k, readThd, "up", 4);

/** Total harmonic distortion and noise at 1 kHz, 20 Hz to 20 kHz (AES17). */
export const thdN = distortionKind(
  "thdN",
  "distortion and noise",
  "tone-1k",
  tone1k,
  readThdN,
  "up",
  3,
);

/** Total harmonic distortion at 100 Hz: an ageing electrolytic shows here first. */
export const thd100 = distortionKind(
  "thd100",
  "distortion at 100 Hz",
  "tone-100",
  tone100,
  readThd,
  "up",
  4,
);

/** Total harmonic distortion at 1 kHz, 12 dB above nominal: what headroom is left. */
export const thdHot = distortionKind(
  "thdHot",
  "distortion 12 dB above nominal",
  "steps-1k",
  hot,
  readThd,
  "up",
  4,
);

/** Harmonics 2 to 10 of 1 kHz, each against the fundamental. */
export const harmonics: readonly ReadingKind[] = [2, 3, 4, 5, 6, 7, 8, 9, 10].map((order) =>
  distortionKind(
    `harmonic${order}`,
    `harmonic ${order}`,
    "tone-1k",
    tone1k,
    (tone) => {
      const k = order - 1;
      if (!inBand(tone, k)) return { absent: `harmonic ${order} lies beyond 20 kHz` };
      return computePowerReading([tone.amplitudes[k]], [tone.variances[k]], tone.amplitudes[0]);
    },
    "none",
    6,
  ),
);

/** Rounding and settling, decibels at 95 %. */
const methodDb = 2e-5;
/**
 * A path that clips settles anew at each step, and what it makes folds back; for each decibel of
 * compression. Seen on limiters between filters.
 */
const methodPerDb = 3e-4;

/** Level of the hot step against that sent, decibels: falls behind the level when clipping. */
export const compression: ReadingKind = {
  id: "compression",
  name: "level 12 dB above nominal",
  unit: "dB",
  harm: "both",
  least: 0.5,
  segment: "steps-1k",
  own: { adds: "difference" },
  read(context) {
    const high = hot(context);
    const low = tone1k(context);
    if (typeof high === "string") return { absent: high };
    if (typeof low === "string") return { absent: low };
    const value = amplitudeToDb(high.amplitudes[0] / low.amplitudes[0]) - hotDb;
    const noise = Math.hypot(
      Math.sqrt(high.variances[0]) / high.amplitudes[0],
      Math.sqrt(low.variances[0]) / low.amplitudes[0],
    );
    return {
      value,
      unit: "dB",
      uncertainty: Math.hypot(methodDb, methodPerDb * value, 2 * dbPerNeper * noise),
    };
  },
};
