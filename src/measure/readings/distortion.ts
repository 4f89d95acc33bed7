import { amplitudeToDb, dbPerNeper, powerToDb } from "../../dsp/decibels.js";
import { computeBandPower } from "../../dsp/welch.js";
import { computePowerReading, minUncertaintyDb } from "../above-noise.js";
import { type Absent, isAbsent } from "../absence.js";
import { computeNoiseUncertaintyDb } from "../power-uncertainty.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import type { ReturnContext } from "../return-context.js";
import type { ToneAnalysis } from "../tone.js";
import type { Reading } from "../types.js";
import { isSetByWordLength } from "../word-length.js";
import { level } from "./level.js";

/** Harmonics and noise count up to here (AES17, THD+N). */
const topHz = 20_000;
const bottomHz = 20;

/**
 * Harmonic n of a weak nonlinearity changes by n − 1 decibels per decibel of level, relative to the
 * fundamental; the third is the highest that dominates a sum (common practice, no source).
 */
const thirdOrder = 2;

type Tone = (context: ReturnContext) => ToneAnalysis | Absent;

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

function readThdN(tone: ToneAnalysis, context: ReturnContext): Reading {
  const { withoutLine } = tone;
  const { power, stdDev } = computeBandPower(withoutLine?.spectrum ?? tone.rest, bottomHz, topHz);
  let harmonic = 0;
  let beats = 0;
  for (let k = 1; inBand(tone, k); k++) {
    harmonic += tone.amplitudes[k] ** 2 / 2;
    // var(a²/2) = A²·v for an amplitude of variance v
    beats += tone.amplitudes[k] ** 2 * tone.variances[k];
  }
  const total = power + harmonic + (withoutLine?.lines.power ?? 0);
  const fundamental = tone.amplitudes[0] ** 2 / 2;
  const spread = Math.hypot(stdDev, Math.sqrt(beats), withoutLine?.lines.stdDev ?? 0);
  // The part of a line that entered the fundamental is in the reference.
  const reference = (2 * dbPerNeper * Math.sqrt(tone.variances[0])) / tone.amplitudes[0];
  const uncertainty = computeNoiseUncertaintyDb(total, spread);
  return {
    value: powerToDb(Math.max(total, Number.MIN_VALUE) / fundamental),
    unit: "dB",
    uncertainty: Math.max(minUncertaintyDb, Math.hypot(uncertainty, reference)),
    ...(isSetByWords(total, context) ? { limitedBy: "interface" as const } : {}),
  };
}

/** Whether the residual may be quantisation noise: the silence shows its step. */
function isSetByWords(power: number, context: ReturnContext): boolean {
  const quiet = context.quiet();
  if (isAbsent(quiet)) return false;
  const { sampleRate } = context.audio;
  const band = { fromHz: bottomHz, toHz: Math.min(topHz, sampleRate / 2), weight: () => 1 };
  return isSetByWordLength(power, quiet.step, sampleRate, band);
}

function distortionKind<Id extends string>(
  facets: Omit<ReadingFacets<Id>, "unit">,
  tone: Tone,
  figure: (tone: ToneAnalysis, context: ReturnContext) => Reading | Absent,
): ReadingKind<Id> {
  return {
    unit: "dB",
    ...facets,
    read(context) {
      const answer = tone(context);
      return isAbsent(answer) ? answer : figure(answer, context);
    },
  };
}

const tone1k: Tone = (context) => context.tone("tone-1k");
const tone100: Tone = (context) => context.tone("tone-100");

/** Decibels above nominal at which distortion near full level is measured. */
export const hotDb = 12;
const hot: Tone = (context) => context.step(hotDb);

/**
 * Total harmonic distortion at 1 kHz, harmonics 2 to 10 relative to the fundamental (IEC 60268-3).
 */
export const thd = distortionKind(
  {
    id: "thd",
    role: "distortion",
    name: "distortion",
    alsoCalled: ["THD"],
    definition: "total harmonic distortion of the 1 kHz tone, harmonics 2 to 10",
    source: "IEC 60268-3",
    segment: "tone-1k",
    aspect: "distortion",
    harm: "up",
    least: 4,
    batch: { group: "thd" },
    evidence: { group: "thd", order: 80 },
    shared: {
      order: 70,
      group: "thd",
      aspect: "distortion",
      harm: "up",
      scatter: 2,
      least: 6,
      expected: "distortionDb",
    },
    share: "power",
    recognition: { order: 30, repeat: 0.5 },
    levelDependence: "distortion",
    underHum: [-8, 12],
    ageing: { order: 30, scale: "plain", wants: "a look at its amplifiers" },
    listedForInterface: true,
    own: { adds: "phase", rise: thirdOrder },
  },
  tone1k,
  readThd,
);

/** Total harmonic distortion and noise at 1 kHz, 20 Hz to 20 kHz (AES17). */
export const thdN = distortionKind(
  {
    id: "thdN",
    name: "distortion and noise",
    alsoCalled: ["THD+N"],
    definition: "all that the 1 kHz tone's fundamental leaves, 20 Hz to 20 kHz",
    source: "AES17",
    segment: "tone-1k",
    aspect: "noise",
    harm: "up",
    least: 3,
    priorScatter: "unknown",
    holdsHum: true,
    levelDependence: "mixed",
    share: "power",
    listedForInterface: true,
    own: {
      adds: "power",
      band: { fromHz: bottomHz, toHz: topHz, weighting: "flat" },
      steady: thd.id,
      lines: "humLines",
      against: level.id,
    },
  },
  tone1k,
  readThdN,
);

/** Total harmonic distortion at 100 Hz: an ageing electrolytic shows here first. */
export const thd100 = distortionKind(
  {
    id: "thd100",
    role: "low-distortion",
    name: "distortion at 100 Hz",
    definition: "`thd` of a 100 Hz tone",
    source: "common practice",
    segment: "tone-100",
    aspect: "distortion",
    harm: "up",
    least: 4,
    batch: { group: "thd100" },
    evidence: { group: "thd100", order: 90 },
    shared: { order: 80, group: "thd100", aspect: "distortion", harm: "up", scatter: 2, least: 6 },
    share: "power",
    recognition: { order: 40, repeat: 0.5 },
    levelDependence: "distortion",
    underHum: [-6, 70],
    ageing: { order: 20, scale: "plain", wants: "capacitors" },
    own: { adds: "phase", rise: thirdOrder },
  },
  tone100,
  readThd,
);

/** Total harmonic distortion at 1 kHz, 12 dB above nominal: shows lost headroom. */
export const thdHot = distortionKind(
  {
    id: "thdHot",
    role: "overload-distortion",
    name: "distortion 12 dB above nominal",
    endsInLevel: true,
    definition: "total harmonic distortion of the 1 kHz step 12 dB above nominal",
    source: "common practice",
    segment: "steps-1k",
    aspect: "overload",
    harm: "up",
    least: 4,
    batch: { group: "thdHot" },
    evidence: { group: "thdHot", order: 100 },
    shared: {
      order: 100,
      group: "thdHot",
      aspect: "clipping",
      harm: "up",
      scatter: 2,
      least: 6,
      expected: "overloadDb",
    },
    share: "power",
    recognition: { order: 50, repeat: 0.5 },
    levelDependence: "overload",
    underHum: [-12, 6],
    own: { adds: "phase", rise: thirdOrder },
  },
  hot,
  readThd,
);

/** Harmonics 2 to 10 of 1 kHz, each against the fundamental. */
export const harmonics = ([2, 3, 4, 5, 6, 7, 8, 9, 10] as const).map((order) =>
  distortionKind(
    {
      id: `harmonic${order}`,
      name: `harmonic ${order}`,
      definition: `harmonic ${order} of the 1 kHz tone against the fundamental`,
      source: "IEC 60268-3",
      segment: "tone-1k",
      aspect: "distortion",
      harm: "none",
      least: 6,
      share: "power",
      levelDependence: "distortion",
      detail: true,
      own: { adds: "phase", rise: order - 1 },
    },
    tone1k,
    (tone) => {
      const k = order - 1;
      if (!inBand(tone, k)) return { absent: { code: "harmonic-beyond-band", order } };
      return computePowerReading([tone.amplitudes[k]], [tone.variances[k]], tone.amplitudes[0]);
    },
  ),
);

/** Rounding and settling, decibels at 95 %. */
const methodDb = 2e-5;
/**
 * Per decibel of compression: a clipping path settles again at each step, and its products alias.
 * Observed on limiters between filters.
 */
const methodPerDb = 3e-4;

/** Level of the hot step relative to that sent, decibels: negative when clipping. */
export const compression: ReadingKind<"compression"> = {
  id: "compression",
  role: "overload-squeeze",
  name: "level 12 dB above nominal",
  endsInLevel: true,
  unit: "dB",
  definition: "level of that step above the 1 kHz tone, less 12 dB",
  source: "common practice",
  segment: "steps-1k",
  aspect: "overload",
  harm: "both",
  least: 0.5,
  evidence: { group: "compression", order: 110 },
  shared: {
    order: 120,
    group: "compression",
    aspect: "clipping",
    harm: "down",
    scatter: 0.15,
    least: 0.6,
    leastChange: 0.78,
  },
  share: "least",
  levelDependence: "compression",
  own: { adds: "difference" },
  read(context) {
    const high = hot(context);
    const low = tone1k(context);
    if (isAbsent(high)) return high;
    if (isAbsent(low)) return low;
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
