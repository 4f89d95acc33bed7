import { withBuffer } from "../../dsp/buffer-pool.js";
import { powerToDb } from "../../dsp/decibels.js";
import { createFrequencyFilter } from "../../dsp/frequency-filter.js";
import { getStudent95 } from "../../dsp/student.js";
import { computeBandPower } from "../../dsp/welch.js";
import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";
import { digitalZero, type SilenceAnalysis } from "../silence-analysis.js";
import type { Reading } from "../types.js";
import { isSetByWordLength } from "../word-length.js";

/**
 * Hertz; whitened from here up: below, the filter of 1.5 ms does not resolve a falling spectrum.
 */
const fromHz = 500;
const toHz = 20_000;
/** Half the width of the band that the density at a frequency is taken over. */
const halfWidthHz = 350;
/** Kurtosis of Gaussian noise (textbook). */
const gaussian = 3;
/** 95 % of a normal distribution lie within this many deviations. */
const coverage = 1.96;
/** Number of blocks from which the scatter of the kurtosis is estimated. */
const pieces = 20;
/** Variance of the kurtosis of n independent Gaussian samples, times n (textbook). */
const ofGaussian = 24;
/** In periods of the band's width; samples further apart are practically independent. */
const apart = 40;
/**
 * Scatter between the blocks counts if it exceeds what Gaussian noise reaches once in forty times:
 * a mean square of 1.73 with 19 degrees of freedom (chi-squared, textbook).
 */
const clearOfChance = Math.sqrt(1.73);

/**
 * Kurtosis of the whitened hiss relative to Gaussian noise: 0 dB for device noise of any colour (a
 * filtered Gaussian process is Gaussian), more for crackles, steps or bursts (textbook: fourth
 * moment over the square of the second).
 */
export const burstiness: ReadingKind<"burstiness"> = {
  id: "burstiness",
  role: "burstiness",
  name: "burstiness of the hiss",
  unit: "dB",
  definition: "kurtosis of the hiss with a flat spectrum, 500 Hz to 20 kHz, over Gaussian noise's",
  source: "common practice",
  segment: "silence",
  aspect: "clicks",
  harm: "none",
  least: 0.5,
  share: "shift",
  priorScatter: "unknown",
  evidence: { group: "burstiness", order: 155 },
  underHum: [-1, 6],
  detail: true,
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    const { sampleRate } = context.audio;
    const top = Math.min(toHz, 0.45 * sampleRate);
    const { power } = computeBandPower(quiet.spectrum, fromHz, top);
    if (!(power > 0)) return digitalZero;
    const reading = readKurtosis(quiet, sampleRate, top);
    const band = { fromHz, toHz: top, weight: () => 1 };
    return isSetByWordLength(power, quiet.step, sampleRate, band)
      ? { ...reading, limitedBy: "interface" }
      : reading;
  },
};

function readKurtosis({ hiss, spectrum }: SilenceAnalysis, sampleRate: number, top: number) {
  const filter = createFrequencyFilter(
    (hz) => {
      if (hz < fromHz || hz > top) return { re: 0, im: 0 };
      const low = Math.max(fromHz, hz - halfWidthHz);
      const high = Math.min(top, hz + halfWidthHz);
      const { power } = computeBandPower(spectrum, low, high);
      return { re: power > 0 ? Math.sqrt((high - low) / power) : 0, im: 0 };
    },
    sampleRate,
    1,
  );
  return withBuffer(hiss.length, (room): Reading => {
    const white = filter.apply(hiss, room);
    const length = Math.floor((hiss.length - 2 * filter.margin) / pieces);
    const second = new Float64Array(pieces);
    const fourth = new Float64Array(pieces);
    for (let k = 0; k < pieces; k++) {
      const from = filter.margin + k * length;
      sumPowers(white.subarray(from, from + length), second, fourth, k);
    }
    const count = pieces * length;
    const all = kurtosisOf(second, fourth, count, -1);
    // Jackknife over the blocks.
    let squares = 0;
    for (let k = 0; k < pieces; k++) {
      squares += (kurtosisOf(second, fourth, count - length, k) - all) ** 2;
    }
    const seen = Math.sqrt((squares * (pieces - 1)) / pieces);
    const chance = Math.sqrt((ofGaussian * dependence(top / sampleRate)) / count);
    const reach =
      seen > clearOfChance * chance ? getStudent95(pieces - 1) * seen : coverage * chance;
    return {
      value: powerToDb(all / gaussian),
      unit: "dB",
      uncertainty: powerToDb(1 + reach / all),
    };
  });
}

/** Stores the sums of the second and fourth powers of a block's samples. */
function sumPowers(
  samples: Float64Array,
  second: Float64Array,
  fourth: Float64Array,
  piece: number,
): void {
  let [two, four] = [0, 0];
  for (let i = 0; i < samples.length; i++) {
    const squared = samples[i] * samples[i];
    two += squared;
    four += squared * squared;
  }
  second[piece] = two;
  fourth[piece] = four;
}

/**
 * Ratio of the variance of the kurtosis of a Gaussian process to that of independent samples: Σρ⁴
 * over all distances, of the autocorrelation ρ of a flat band (Z. A. Lomnicki, "Tests for departure
 * from normality in the case of linear stochastic processes", Metrika 4, 1961, from memory; agrees
 * with simulated noise).
 *
 * @param upTo upper edge of the band, cycles per sample; the lower one is as good as zero
 */
function dependence(upTo: number): number {
  let sum = 1;
  for (let k = 1; k <= apart / (2 * upTo); k++) {
    const x = 2 * Math.PI * upTo * k;
    sum += 2 * (Math.sin(x) / x) ** 4;
  }
  return sum;
}

function kurtosisOf(
  second: Float64Array,
  fourth: Float64Array,
  count: number,
  without: number,
): number {
  let [two, four] = [0, 0];
  for (let k = 0; k < second.length; k++) {
    if (k === without) continue;
    two += second[k];
    four += fourth[k];
  }
  return two > 0 ? (four * count) / (two * two) : gaussian;
}
