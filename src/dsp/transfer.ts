/**
 * A path without memory as its own transfer curve, learnt from one steady tone.
 *
 * Driven by x = cos θ, the curve Σ cₙ·Tₙ(x) gives exactly the harmonics cₙ, as Tₙ(cos θ) = cos nθ
 * (T. J. Rivlin, "The Chebyshev Polynomials", Wiley 1974). The same curve then predicts what a
 * weaker tone would give.
 */
export interface TransferCurve {
  /** cₙ, n = 1, 2, … at index n − 1: the harmonics in phase with the tone's crest. */
  readonly coefficients: Float64Array;
}

/** How far the crest may lie from the fundamental's own: filters behind the curve turn it. */
const mostTurn = 0.35;
const turns = 71;

/**
 * The transfer curve behind a tone's harmonics. Filters before and behind the bend turn the
 * harmonics' phases; the crest is put where most of their power is in phase, near that of the
 * fundamental.
 *
 * @param amplitudes of harmonic 1, 2, …
 * @param phases at one instant, radians, cosine reference
 */
export function fitTransferCurve(amplitudes: Float64Array, phases: Float64Array): TransferCurve {
  let best = phases[0];
  let most = -1;
  for (let k = 0; k < turns; k++) {
    const crest = phases[0] + mostTurn * ((2 * k) / (turns - 1) - 1);
    let power = 0;
    for (let n = 2; n <= amplitudes.length; n++) {
      power += (amplitudes[n - 1] * Math.cos(phases[n - 1] - n * crest)) ** 2;
    }
    if (power > most) {
      most = power;
      best = crest;
    }
  }
  const coefficients = amplitudes.map((a, k) =>
    k === 0 ? a : a * Math.cos(phases[k] - (k + 1) * best),
  );
  return { coefficients };
}

/**
 * Power of harmonics 2 to `highest` over that of the fundamental, for a tone `ratio` times as
 * strong as the one that the curve was learnt from.
 *
 * @param ratio 0 to 1: the curve is not known beyond
 */
export function computeDistortionPower(
  transfer: TransferCurve,
  ratio: number,
  highest: number,
): number {
  const { coefficients } = transfer;
  const degree = coefficients.length;
  // Gauss–Chebyshev points: exact for the products of this degree
  const points = Math.ceil((degree + highest) / 2) + 1;
  const harmonics = new Float64Array(highest + 1);
  for (let i = 0; i < points; i++) {
    const theta = (Math.PI * (i + 0.5)) / points;
    const crest = Math.cos(theta);
    const y = curveAt(coefficients, ratio * crest);
    let before = 1;
    let now = crest;
    for (let n = 1; n <= highest; n++) {
      harmonics[n] += y * now;
      const next = 2 * crest * now - before;
      before = now;
      now = next;
    }
  }
  let power = 0;
  for (let n = 2; n <= highest; n++) power += harmonics[n] ** 2;
  return power / harmonics[1] ** 2;
}

/** Σ cₙ·Tₙ(x) by the three-term recurrence. */
function curveAt(coefficients: Float64Array, x: number): number {
  let before = 1;
  let now = x;
  let sum = 0;
  for (let n = 0; n < coefficients.length; n++) {
    sum += coefficients[n] * now;
    const next = 2 * x * now - before;
    before = now;
    now = next;
  }
  return sum;
}

/** How far the tone's two half-waves reach from its mean, both positive for a tone that is one. */
export function computeExcursions({ coefficients }: TransferCurve): {
  positive: number;
  negative: number;
} {
  return { positive: curveAt(coefficients, 1), negative: -curveAt(coefficients, -1) };
}
