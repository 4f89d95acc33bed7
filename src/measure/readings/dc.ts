import { computeStudentShare } from "../../dsp/student.js";
import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";

/**
 * Number of whole cycles over the silence at which the noise is read: these are independent of the
 * mean.
 */
const cycles = 12;
/** Coverage of the interval. */
const held = 0.95;
/** Samples summed before the transform: the cycles are far slower. */
const block = 64;

/** Slopes that are tried for the density near 0 Hz, f^−α, and how likely white noise is beforehand. */
const slopes = Array.from({ length: 15 }, (_, k) => k / 10);
const whiteBeforehand = 0.5;
/** Noise that rises towards 0 Hz is taken to do so down to here, hertz; below it nobody says offset. */
const flatBelowHz = 0.1;

/** Power of the noise at whole cycles over the silence: the periodogram, one-sided density. */
function lowestDensities(hiss: Float64Array, sampleRate: number): number[] {
  const blocks = Math.floor(hiss.length / block);
  const sums = new Float64Array(blocks);
  for (let b = 0; b < blocks; b++) {
    let sum = 0;
    for (let n = b * block; n < (b + 1) * block; n++) sum += hiss[n];
    sums[b] = sum;
  }
  const perDensity = blocks * block * sampleRate;
  return Array.from({ length: cycles }, (_, k) => (2 * powerAt(sums, k + 1)) / perDensity);
}

/** Squared magnitude of the transform of sums at whole cycles over them. */
function powerAt(sums: Float64Array, cyclesOver: number): number {
  const turn = (2 * Math.PI * cyclesOver) / sums.length;
  let re = 0;
  let im = 0;
  for (let b = 0; b < sums.length; b++) {
    re += sums[b] * Math.cos(turn * b);
    im += sums[b] * Math.sin(turn * b);
  }
  return re * re + im * im;
}

/**
 * Largest distance of the mean of noise over a time T from zero, 95 %, from the density at the
 * first whole cycles over T. Near 0 Hz the density is assumed to be a power law, S = a·(fT)^−α. How
 * likely each slope is follows from the periodogram (P. Whittle, "Curve and periodogram smoothing",
 * J. R. Stat. Soc. B 19(1), 1957): its values are exponentially distributed about S, and with a
 * integrated out of the likelihood there remains Γ(K)·Πk^α/(Σ P·k^α)^K. At each slope the mean's
 * variance is ∫ S(f)·sinc²(fT) df, where 1/a is gamma distributed, so that the mean has a Student t
 * distribution with 2K degrees of freedom; the interval is that of the mixture of these
 * distributions, weighted by the likelihood of their slopes.
 */
function reachOfMean(densities: readonly number[], seconds: number): number {
  const count = densities.length;
  const logs = densities.reduce((sum, _, k) => sum + Math.log(k + 1), 0);
  const rows = slopes.map((slope) => {
    const level = densities.reduce((sum, p, k) => sum + p * (k + 1) ** slope, 0);
    const beforehand = slope === 0 ? whiteBeforehand : (1 - whiteBeforehand) / (slopes.length - 1);
    return {
      likely:
        Math.log(beforehand) + slope * logs - count * Math.log(Math.max(level, Number.MIN_VALUE)),
      scale: Math.sqrt(((level / count) * meanShare(slope, flatBelowHz * seconds)) / seconds),
    };
  });
  const most = Math.max(...rows.map(({ likely }) => likely));
  const weights = rows.map(({ likely }) => Math.exp(likely - most));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const within = (reach: number) =>
    rows.reduce(
      (sum, { scale }, k) =>
        sum +
        (weights[k] / total) * (scale > 0 ? computeStudentShare(reach / scale, 2 * count) : 1),
      0,
    );
  let near = 0;
  let far = farthest * Math.max(...rows.map(({ scale }) => scale));
  for (let pass = 0; pass < 40; pass++) {
    const middle = (near + far) / 2;
    if (within(middle) < held) near = middle;
    else far = middle;
  }
  return far;
}

/**
 * Scale parameters that contain at least 95 % of a Student t distribution from three degrees of
 * freedom.
 */
const farthest = 4;

const step = 1 / 32;
const reach = 6;
const sincSquares = Array.from({ length: reach / step }, (_, k) => {
  const x = Math.PI * k * step;
  return k === 0 ? 1 : (Math.sin(x) / x) ** 2;
});

/**
 * ∫ x^−α·sinc²(x) dx from 0 on, x^−α held below `flat`: the trapezoidal rule, and beyond some cycles the
 * mean of sin², a half.
 */
function meanShare(slope: number, flat: number): number {
  let sum = 0;
  sincSquares.forEach((square, k) => {
    const weight = k === 0 ? 0.5 : 1;
    sum += weight * square * Math.max(k * step, flat) ** -slope;
  });
  return sum * step + (0.5 * reach ** (-slope - 1)) / (Math.PI ** 2 * (slope + 1));
}

/** Mean of the silence in per cent of full scale; common practice. */
export const dc: ReadingKind<"dc"> = {
  id: "dc",
  name: "DC offset",
  unit: "%",
  definition: "mean of the silence in per cent of full scale",
  source: "common practice",
  segment: "silence",
  aspect: "offset",
  harm: "none",
  least: 0,
  share: "shift",
  priorScatter: "unknown",
  evidence: { group: "dc", order: 170 },
  leastChange: 0.5,
  detail: true,
  own: { adds: "difference" },
  read(context) {
    const quiet = context.quiet();
    if (isAbsent(quiet)) return quiet;
    const { hiss, offset } = quiet;
    const { sampleRate } = context.audio;
    const seconds = hiss.length / sampleRate;
    const reach = reachOfMean(lowestDensities(hiss, sampleRate), seconds);
    return { value: 100 * offset, unit: "%", uncertainty: 100 * reach };
  },
};
