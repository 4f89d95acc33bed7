import { powerToDb } from "../../dsp/decibels.js";
import { computeAWeighting } from "../../dsp/weighting.js";
import { type BandPower, computeBandPower, type PowerSpectrum } from "../../dsp/welch.js";
import { isAbsent } from "../absence.js";
import { computeNoiseUncertaintyDb } from "../power-uncertainty.js";
import type { ReadingFacets, ReadingKind } from "../reading-kind.js";
import { digitalZero, type SilenceAnalysis } from "../silence-analysis.js";
import { isSetByWordLength } from "../word-length.js";

interface NoiseBand {
  readonly fromHz: number;
  readonly toHz: number;
}

/** Edges of the noise band, Hz (IEC 60268-1, 22.4 Hz to 22.4 kHz). */
const noiseBand: NoiseBand = { fromHz: 22.4, toHz: 22_400 };
/** Band in which data sheets state equivalent input noise (common practice). */
const dataSheetBand: NoiseBand = { fromHz: 20, toHz: 20_000 };
/** Its width, hertz. */
export const dataSheetBandHz = dataSheetBand.toHz - dataSheetBand.fromHz;

/** What window and band edges add, decibels at 95 %. */
const methodDb = 0.005;

const flat = () => 1;

/**
 * Power of the noise in a band as heard, hum included, and its standard deviation.
 *
 * @param weight power weight at a frequency
 * @example
 * const context = createReturnContext(audio);
 *
 * const all = computeNoiseBetween(context.quiet(), 20, 20_000).power;
 * const half = computeNoiseBetween(context.quiet(), 20, 10_000).power;
 * half < all; // true
 */
export function computeNoiseBetween(
  quiet: SilenceAnalysis,
  fromHz: number,
  toHz: number,
  weight: (hz: number) => number = flat,
): BandPower {
  const hiss = hissBetween(quiet, fromHz, toHz, weight);
  const hum = linesBetween(quiet, fromHz, toHz, weight);
  return {
    power: hiss.power + hum.power,
    stdDev: Math.hypot(hiss.stdDev, hum.stdDev),
  };
}

function hissBetween(
  { spectrum }: SilenceAnalysis,
  fromHz: number,
  toHz: number,
  weight: (hz: number) => number = flat,
): BandPower {
  const sharp = weight === flat ? undefined : sharpened(weight, spectrum);
  return computeBandPower(spectrum, fromHz, toHz, sharp);
}

/** Sum of the mains lines in a band. */
function linesBetween(
  { lines }: SilenceAnalysis,
  fromHz: number,
  toHz: number,
  weight: (hz: number) => number,
): BandPower {
  let power = 0;
  let squares = 0;
  const add = (order: number, amplitude: number, variance: number) => {
    const hz = order * (lines?.frequencyHz ?? 0);
    if (hz < fromHz || hz > toHz) return;
    const w = weight(hz);
    const own = (amplitude * amplitude) / 2 - variance;
    power += w * own;
    squares += w * w * (2 * Math.max(0, own) * variance + variance * variance);
  };
  lines?.amplitudes.forEach((amplitude, k) => {
    add(k + 1, amplitude, lines.variances[k]);
  });
  for (const { order, amplitude, variance } of lines?.higher ?? []) {
    add(order, amplitude, variance);
  }
  return { power, stdDev: Math.sqrt(squares) };
}

/**
 * Corrects a weighting for the window, which spreads each frequency over neighbouring bins with a
 * variance of a third of a bin squared.
 *
 * @returns the weight at each bin, the same for every return of a recording
 */
function sharpened(
  weight: (hz: number) => number,
  { stepHz, density }: PowerSpectrum,
): (hz: number) => number {
  let kept = sharpWeights.get(weight);
  if (kept?.stepHz !== stepHz || kept.values.length !== density.length) {
    const values = density.map((_, k) => {
      const hz = k * stepHz;
      const here = weight(hz);
      return here - (weight(hz + stepHz) - 2 * here + weight(hz - stepHz)) / 6;
    });
    kept = { stepHz, values };
    sharpWeights.set(weight, kept);
  }
  const { values } = kept;
  return (hz) => values[Math.round(hz / stepHz)];
}

const sharpWeights = new WeakMap<
  (hz: number) => number,
  { readonly stepHz: number; readonly values: Float64Array }
>();

interface NoiseOptions {
  readonly band?: NoiseBand;
  /** Highest power (95 %) of foreign parts that may be included. */
  readonly computeForeign?: (quiet: SilenceAnalysis) => number;
}

const none = () => 0;
/** Foreign parts turn the value into a bound if they may exceed its uncertainty by this factor. */
const foreignFrom = 2;

function noiseKind<Id extends string>(
  facets: Omit<
    ReadingFacets<Id>,
    "unit" | "segment" | "aspect" | "levelDependence" | "share" | "commonChange"
  >,
  weight: (hz: number) => number,
  between: typeof computeNoiseBetween,
  { band = noiseBand, computeForeign = none }: NoiseOptions = {},
): ReadingKind<Id> {
  return {
    unit: "dBFS",
    segment: "silence",
    aspect: "noise",
    levelDependence: "noise",
    share: "power",
    commonChange: "set-up",
    ...facets,
    read(context) {
      const quiet = context.quiet();
      if (isAbsent(quiet)) return quiet;
      const toHz = Math.min(band.toHz, context.audio.sampleRate / 2);
      const { power, stdDev } = between(quiet, band.fromHz, toHz, weight);
      if (!(power > 0)) return digitalZero;
      const uncertainty = Math.hypot(methodDb, computeNoiseUncertaintyDb(power, stdDev));
      const weighted = { fromHz: band.fromHz, toHz, weight };
      const { sampleRate } = context.audio;
      const left = power - computeForeign(quiet);
      const isBound = !(powerToDb(power / left) <= foreignFrom * uncertainty);
      return {
        // Full-scale sine: power one half is 0 dBFS.
        value: powerToDb(2 * power) + (isBound ? uncertainty : 0),
        unit: "dBFS",
        uncertainty,
        ...(isSetByWordLength(power, quiet.step, sampleRate, weighted)
          ? { limitedBy: "interface" as const }
          : {}),
        ...(isBound ? { bound: "upper" as const } : {}),
      };
    },
  };
}

/** R.m.s. noise as heard, hum included, 22.4 Hz to 22.4 kHz, or half the sample rate where less. */
export const noise = noiseKind(
  {
    id: "noise",
    name: "noise",
    definition: "r.m.s. level of the silence, hum included, 22.4 Hz to 22.4 kHz",
    source: "IEC 60268-1",
    role: "noise",
    harm: "up",
    least: 2,
    priorScatter: "unknown",
    holdsHum: true,
    // Hum and hiss together: if siblings hum unequally, only the sum is clear.
    evidence: { group: "noise", order: 40 },
    underHum: [-3, 90],
    ageing: { order: 50, scale: "against-tone", wants: "quieter input devices" },
    listedForInterface: true,
    own: {
      adds: "power",
      band: { ...noiseBand, weighting: "flat" },
      steady: "hum",
      lines: "humLines",
    },
  },
  flat,
  computeNoiseBetween,
);

/** R.m.s. noise as heard, 20 Hz to 20 kHz: what the equivalent input noise is made from. */
export const noise20k = noiseKind(
  {
    id: "noise20k",
    name: "noise, 20 Hz to 20 kHz",
    definition: "`noise` from 20 Hz to 20 kHz, the band of data sheets",
    source: "common practice",
    harm: "none",
    least: 0,
    repeats: noise.id,
    own: {
      adds: "power",
      band: { ...dataSheetBand, weighting: "flat" },
      steady: "hum",
      lines: "humLines",
    },
  },
  flat,
  computeNoiseBetween,
  { band: dataSheetBand },
);

/** R.m.s. noise as heard, A-weighted (IEC 61672-1). */
export const noiseA = noiseKind(
  {
    id: "noiseA",
    name: "noise (A-weighted)",
    alsoCalled: ["A-weighted noise"],
    definition: "`noise` with A-weighting",
    source: "IEC 61672-1",
    harm: "up",
    least: 2,
    holdsHum: "weighted",
    shared: { order: 41, group: "hiss", aspect: "noise", harm: "up", scatter: 1, least: 3 },
    batch: { group: "hiss" },
    evidence: { group: "hiss", order: 31 },
    underHum: [-3, 20],
    ageing: { order: 40, scale: "against-tone", wants: "quieter input devices" },
    repeats: noise.id,
    listedForInterface: true,
    own: { adds: "power", band: { ...noiseBand, weighting: "A" } },
  },
  (hz) => computeAWeighting(hz) ** 2,
  computeNoiseBetween,
);

/** R.m.s. noise without the lines of the mains, 22.4 Hz to 22.4 kHz. */
export const hiss = noiseKind(
  {
    id: "hiss",
    name: "hiss",
    definition: "`noise` without the lines of the mains",
    source: "common practice",
    role: "hiss",
    harm: "up",
    least: 2,
    batch: { group: "hiss" },
    evidence: { group: "hiss", order: 30 },
    // Noise scatters with devices.
    shared: { order: 40, group: "hiss", aspect: "noise", harm: "up", scatter: 1, least: 3 },
    recognition: { order: 20, repeat: 0.2, withLevel: true },
    underHum: [-3, 20],
    repeats: noise.id,
    own: { adds: "power", band: { ...noiseBand, weighting: "flat" } },
    // Sums of eight similar strips scatter a third as much as single ones (common practice, no
    // source).
    sumTolerance: 1.5,
  },
  flat,
  hissBetween,
  { computeForeign: computeHiddenLines },
);

/**
 * Mains lines that may be in the hiss if none was found: a single one at high order may also be a
 * whistle, and is then not removed. In noise alone that is less than the uncertainty.
 */
function computeHiddenLines({ hidden }: SilenceAnalysis): number {
  // Of squared peak amplitudes.
  return (hidden?.(() => true) ?? 0) / 2;
}
