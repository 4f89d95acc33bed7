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
  /** What a filter behind the curve does to harmonic n, at index n − 1; absent for none. */
  readonly gains?: Float64Array;
}

/** A filter's answer at the harmonics 1, 2, … of a tone. */
export interface HarmonicGains {
  /** Natural logarithm of the magnitude, against that at the fundamental. */
  readonly logGains: Float64Array;
  /** Phases, radians, unwrapped from that of zero frequency on. */
  readonly phases: Float64Array;
}

/** How much of a filter stands behind a bend, 0 to 1; the rest stands before it. */
export interface SharesBehind {
  /** Of what falls at high frequency. */
  readonly high: number;
  /** Of what falls at low frequency, capacitors in the way of the signal: often the other end's. */
  readonly low: number;
}

/** A transfer curve with the filter behind it. */
export interface FilteredCurve extends TransferCurve {
  readonly behind: SharesBehind;
  /**
   * Share of the power of harmonics 2 to 10 that is out of phase with the tone even so: what a path
   * without memory does not have.
   */
  readonly outOfPhase: number;
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
 * @example
 * const curve = fitTransferCurve(Float64Array.of(1, 0.01), Float64Array.of(0, 0));
 * [...curve.coefficients].map((c) => c.toFixed(4)); // ["1.0000", "0.0100"]
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

/** Orders whose phases count: what folds back at half a sample rate is far weaker there. */
const phaseOrders = 10;
const goldenPasses = 24;
const golden = (Math.sqrt(5) - 1) / 2;

/**
 * The transfer curve behind a tone's harmonics, with a filter taken out of them whose shares behind
 * the bend are not known: those are taken that put the harmonics in phase with the tone. The part
 * before the bend changes nothing of a steady tone but its size. Capacitors turn harmonic n by 1/n of what
 * they turn the tone; they may lie before the bend where the rest lies behind it, or the other way round.
 *
 * @param amplitudes of harmonic 1, 2, …
 * @param phases at one instant, radians, cosine reference
 * @param filter of the whole path, at as many harmonics or more
 * @param behind the shares, where they are known already
 * @example
 * const flat = { logGains: new Float64Array(3), phases: new Float64Array(3) };
 * const [amplitudes, phases] = [Float64Array.of(1, 0, 0.01), new Float64Array(3)];
 * fitFilteredCurve(amplitudes, phases, flat).coefficients[2].toFixed(4); // "0.0100"
 */
export function fitFilteredCurve(
  amplitudes: Float64Array,
  phases: Float64Array,
  filter: HarmonicGains,
  behind?: SharesBehind,
): FilteredCurve {
  const shares = behind ?? findSharesBehind(amplitudes, phases, filter);
  const low = lowPhase(filter);
  const turn = (k: number) => turnOf(phases, filter, shares, low, k);
  return {
    coefficients: amplitudes.map(
      (a, k) => a * Math.exp(-shares.high * filter.logGains[k]) * Math.cos(turn(k)),
    ),
    gains: amplitudes.map((_, k) => Math.exp(shares.high * filter.logGains[k])),
    behind: shares,
    outOfPhase: outOfPhase(amplitudes, phases, filter, shares, low),
  };
}

/** Radians that capacitors may turn the tone while its harmonics' phases still go as 1/n, to 0.02. */
const mostLowPhase = 0.35;

/**
 * By how much the filter's capacitors turn the tone: c of the phases c/n that remain of the first two
 * harmonics where what is proportional to n, as delay is and a low-pass nearly, cancels.
 */
function lowPhase({ phases }: HarmonicGains): number {
  return Math.max(0, Math.min(mostLowPhase, (2 * phases[0] - phases[1]) / 1.5));
}

/**
 * Phase of harmonic k + 1 against the tone's crest, before the part of the filter behind the bend.
 *
 * @param low by how much capacitors turn the tone, radians
 */
function turnOf(
  phases: Float64Array,
  filter: HarmonicGains,
  shares: SharesBehind,
  low: number,
  k: number,
): number {
  const turned = (n: number) =>
    shares.high * filter.phases[n] + ((shares.low - shares.high) * low) / (n + 1);
  const crest = phases[0] - turned(0);
  return phases[k] - turned(k) - (k + 1) * crest;
}

function outOfPhase(
  amplitudes: Float64Array,
  phases: Float64Array,
  filter: HarmonicGains,
  shares: SharesBehind,
  low: number,
): number {
  let out = 0;
  let all = 0;
  for (let k = 1; k < Math.min(phaseOrders, amplitudes.length); k++) {
    const power = amplitudes[k] ** 2;
    out += power * Math.sin(turnOf(phases, filter, shares, low, k)) ** 2;
    all += power;
  }
  return all > 0 ? out / all : 0;
}

function findSharesBehind(
  amplitudes: Float64Array,
  phases: Float64Array,
  filter: HarmonicGains,
): SharesBehind {
  const c = lowPhase(filter);
  const at = (high: number, low: number) =>
    outOfPhase(amplitudes, phases, filter, { high, low }, c);
  const lowFor = (high: number) => leastWithin((low) => at(high, low));
  const high = leastWithin((share) => at(share, lowFor(share)));
  return { high, low: lowFor(high) };
}

/** Golden-section search for the minimum from 0 to 1: what is out of phase is smooth in the shares. */
function leastWithin(at: (share: number) => number): number {
  let low = 0;
  let high = 1;
  for (let pass = 0; pass < goldenPasses; pass++) {
    const left = high - golden * (high - low);
    const right = low + golden * (high - low);
    if (at(left) < at(right)) high = right;
    else low = left;
  }
  return [0, (low + high) / 2, 1].reduce((a, b) => (at(b) < at(a) ? b : a));
}

/**
 * Power of harmonics 2 to `highest` over that of the fundamental, for a tone `ratio` times as
 * strong as the one that the curve was learnt from.
 *
 * @param ratio 0 to 1: the curve is not known beyond
 * @example
 * // The second harmonic of a square law falls with the level: 40 dB below at full, 60 at a tenth.
 * const coefficients = Float64Array.of(1, 0.01);
 * powerToDb(computeDistortionPower({ coefficients }, 0.1, 10)).toFixed(1); // "-60.0"
 */
export function computeDistortionPower(
  transfer: TransferCurve,
  ratio: number,
  highest: number,
): number {
  const harmonics = computeWeakerTone(transfer, ratio, highest);
  let power = 0;
  for (let n = 2; n <= highest; n++) power += harmonics[n - 1] ** 2;
  return power / harmonics[0] ** 2;
}

/**
 * Harmonics 1 to `highest` of a tone `ratio` times as strong as the one that the curve was learnt
 * from, with their signs, index 0 the fundamental.
 *
 * @param ratio 0 to 1: the curve is not known beyond
 * @param degree harmonics of the curve that are used; all when left out
 * @example
 * computeWeakerTone({ coefficients: Float64Array.of(1, 0.01) }, 0.1, 2)[1]; // 0.0001
 */
export function computeWeakerTone(
  { coefficients, gains }: TransferCurve,
  ratio: number,
  highest: number,
  degree: number = coefficients.length,
): Float64Array {
  // Gauss–Chebyshev points: exact for the products of this degree
  const points = Math.ceil((degree + highest) / 2) + 1;
  const harmonics = new Float64Array(highest + 1);
  for (let i = 0; i < points; i++) {
    const theta = (Math.PI * (i + 0.5)) / points;
    const crest = Math.cos(theta);
    const y = curveAt(coefficients, ratio * crest, degree);
    let before = 1;
    let now = crest;
    for (let n = 1; n <= highest; n++) {
      harmonics[n] += (2 / points) * y * now;
      const next = 2 * crest * now - before;
      before = now;
      now = next;
    }
  }
  return harmonics.subarray(1).map((h, k) => h * (gains?.[k] ?? 1));
}

/** Σ cₙ·Tₙ(x) by the three-term recurrence. */
function curveAt(coefficients: Float64Array, x: number, degree = coefficients.length): number {
  let before = 1;
  let now = x;
  let sum = 0;
  for (let n = 0; n < degree; n++) {
    sum += coefficients[n] * now;
    const next = 2 * x * now - before;
    before = now;
    now = next;
  }
  return sum;
}

/**
 * How far the tone's two half-waves reach from its mean, both positive for a tone that is one.
 *
 * @example
 * computeExcursions({ coefficients: Float64Array.of(1, 0.25) }).negative; // 0.75
 */
export function computeExcursions({ coefficients }: TransferCurve): {
  positive: number;
  negative: number;
} {
  return { positive: curveAt(coefficients, 1), negative: -curveAt(coefficients, -1) };
}
