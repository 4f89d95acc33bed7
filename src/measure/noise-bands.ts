import { powerToDb } from "../dsp/decibels.js";
import { buildOctaveGrid } from "../dsp/octave-grid.js";
import { type BandPower, computeBandPower } from "../dsp/welch.js";
import { type Absent, isAbsent } from "./absence.js";
import { computeNoiseUncertaintyDb } from "./power-uncertainty.js";
import type { ReturnContext } from "./return-context.js";
import { digitalZero, type SilenceAnalysis } from "./silence-analysis.js";
import type { Curve } from "./types.js";

/**
 * Half a third-octave band as a ratio: edges are the midband times and divided by G^(1/6), G =
 * 10^(3/10).
 */
export const bandEdge = 10 ** (3 / 60);
const fromHz = 25;
const toHz = 20_000;

/** A third-octave band of the hum-free noise. */
export interface NoiseBand extends BandPower {
  /** Exact midband frequency. */
  readonly hz: number;
  readonly widthHz: number;
}

/**
 * Noise in third-octave bands with exact base-ten midbands and edges (IEC 61260-1, 5.2 to 5.6).
 *
 * @example
 * const spectrum = { density: new Float64Array(22_051).fill(1e-9), stepHz: 1, segments: 100 };
 * const [band] = computeNoiseBands({ spectrum }, 1000, 1000);
 * // White noise has the density times the width.
 * Math.abs(band.power / (1e-9 * band.widthHz) - 1) < 1e-3; // true
 */
export function computeNoiseBands(
  { spectrum }: SilenceAnalysis,
  lowHz: number,
  highHz: number,
): NoiseBand[] {
  return buildOctaveGrid(3, lowHz, highHz).map((hz) => {
    const edges = [hz / bandEdge, hz * bandEdge] as const;
    return { hz, widthHz: edges[1] - edges[0], ...computeBandPower(spectrum, ...edges) };
  });
}

/**
 * Third-octave spectrum of the noise without the lines of the mains, 25 Hz to 20 kHz. A band that
 * extends beyond half the sample rate is left out: at 44.1 kHz the last.
 *
 * @returns the curve, or why there is none
 * @example
 * const context = createReturnContext(audio);
 *
 * const curve = computeNoiseCurve(context);
 * // From 25 Hz to 16 kHz: the band of 20 kHz reaches beyond half of 44.1 kHz.
 * Math.round(curve.x.at(-1)); // 15849
 */
export function computeNoiseCurve(context: ReturnContext): Curve | Absent {
  const quiet = context.quiet();
  if (isAbsent(quiet)) return quiet;
  const bands = computeNoiseBands(quiet, fromHz, toHz).filter(
    ({ hz }) => hz * bandEdge < context.audio.sampleRate / 2,
  );
  if (bands.some(({ power }) => !(power > 0))) return digitalZero;
  return {
    x: bands.map(({ hz }) => hz),
    // Full-scale sine: power one half is 0 dBFS.
    y: bands.map(({ power }) => powerToDb(2 * power)),
    uncertainty: bands.map(({ power, stdDev }) => computeNoiseUncertaintyDb(power, stdDev)),
    xUnit: "Hz",
    yUnit: "dBFS",
  };
}
