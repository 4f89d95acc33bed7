import { powerToDb } from "../../dsp/decibels.js";
import { isAbsent } from "../absence.js";
import { bandEdge, computeNoiseBands, type NoiseBand } from "../noise-bands.js";
import { computeNoiseBiasDb, computeNoiseUncertaintyDb } from "../power-uncertainty.js";
import type { ReadingKind } from "../reading-kind.js";
import { digitalZero } from "../silence-analysis.js";
import type { Reading } from "../types.js";
import { isSetByWordLength } from "../word-length.js";
import { noise } from "./noise.js";

/** Midbands of the lowest and the highest third-octave band of the line. */
const fromHz = 25;
const toHz = 400;
/**
 * Factor on the slope's uncertainty because neighbouring bands share the bins at their edges
 * (simulated).
 */
const sharedEdges = 1.08;

/**
 * Slope of the hum-free noise at low frequency, decibels of density per octave: 0 for white noise,
 * −3 for 1/f noise. A straight line is fitted to the third-octave bands from 25 Hz to 400 Hz,
 * weighted by width, which is proportional to certainty in white noise; the weights are fixed, so
 * that a spectrum which is not a straight line also has a defined slope.
 */
export const noiseSlope: ReadingKind<"noiseSlope"> = {
  id: "noiseSlope",
  role: "noise-slope",
  name: "noise slope at low frequency",
  unit: "dB/octave",
  definition: "slope of the hiss's density from 25 Hz to 400 Hz",
  source: "common practice",
  segment: "silence",
  aspect: "noise",
  harm: "down",
  least: 1,
  share: "shift",
  evidence: { group: "noiseSlope", order: 70 },
  underHum: [-6, 6],
  commonChange: "set-up",
  repeats: noise.id,
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    const bands = computeNoiseBands(quiet, fromHz, toHz);
    if (bands.some(({ power }) => !(power > 0))) return digitalZero;
    const slope = slopeOf(bands);
    const band = { fromHz: fromHz / bandEdge, toHz: toHz * bandEdge, weight: () => 1 };
    const power = bands.reduce((sum, one) => sum + one.power, 0);
    return isSetByWordLength(power, quiet.step, context.audio.sampleRate, band)
      ? { ...slope, limitedBy: "interface" }
      : slope;
  },
};

function slopeOf(bands: readonly NoiseBand[]): Reading {
  const weights = bands.reduce((sum, { widthHz }) => sum + widthHz, 0);
  const octave = bands.map(({ hz }) => Math.log2(hz));
  const middle = bands.reduce((sum, { widthHz }, i) => sum + widthHz * octave[i], 0) / weights;
  let spread = 0;
  let product = 0;
  let variance = 0;
  bands.forEach(({ power, stdDev, widthHz }, i) => {
    const away = octave[i] - middle;
    const densityDb = powerToDb(power / widthHz) + computeNoiseBiasDb(power, stdDev);
    spread += widthHz * away * away;
    product += widthHz * away * densityDb;
    variance += (widthHz * away * computeNoiseUncertaintyDb(power, stdDev)) ** 2;
  });
  return {
    value: product / spread,
    unit: "dB/octave",
    uncertainty: (sharedEdges * Math.sqrt(variance)) / spread,
  };
}
