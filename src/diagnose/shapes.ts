import { dbToPower } from "../dsp/decibels.js";
import type { ResponseDeviation as Difference } from "./response-deviation.js";

/** Points of a response difference. */
type CurveDifference = Pick<Difference, "x" | "y">;

/** A response difference as a function of frequency, decibels, 0 at 1 kHz. */
export type Shape = (hz: number) => number;

/** A shape fitted to a response difference. */
export interface FittedShape {
  readonly shape: Shape;
  /** Corner or centre frequency of the shape. */
  readonly hz: number;
  /** Boost or cut of shelves and bells, decibels; 0 for roll-offs. */
  readonly db: number;
  /** R.m.s. misfit, dB. */
  readonly restDb: number;
  /** Its level at 1 kHz, which is subtracted from it: its effect on the gain reading, decibels. */
  readonly at1kDb: number;
}

/** Cache of fits by curve: several causes, alone and in pairs, ask for the same ones. */
const fitted = new WeakMap<CurveDifference, Map<string, unknown>>();

function onceFor<T>(curve: CurveDifference, what: string, make: () => T): T {
  const known = fitted.get(curve) ?? new Map<string, unknown>();
  fitted.set(curve, known);
  if (!known.has(what)) known.set(what, make());
  return known.get(what) as T;
}

const ten = (x: number) => 10 * Math.log10(x);
/** Midbands of the third octaves that the noise's slope is read from, hertz. */
const slopeHz = [25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400];

/**
 * The effect of a shape on the slope of noise that passes it, decibels per octave: the straight
 * line that the reading fits, each third octave weighted by its width.
 *
 * @example
 * computeNoiseSlope((hz) => 3 * Math.log2(hz)); // 3
 */
export function computeNoiseSlope(shape: Shape): number {
  const weights = slopeHz.reduce((sum, hz) => sum + hz, 0);
  const middle = slopeHz.reduce((sum, hz) => sum + hz * Math.log2(hz), 0) / weights;
  let product = 0;
  let spread = 0;
  for (const hz of slopeHz) {
    const away = Math.log2(hz) - middle;
    product += hz * away * shape(hz);
    spread += hz * away * away;
  }
  return product / spread;
}

/** Third-octave powers of noise, decibels; undefined if unknown. */
export interface NoiseSpectrum {
  readonly x: readonly number[];
  readonly db: readonly (number | undefined)[];
}

/**
 * Third octaves of white noise, used if the spectrum is unknown: base-ten midbands (IEC 61260-1).
 */
const whiteNoise: NoiseSpectrum = (() => {
  const x = Array.from({ length: 30 }, (_, k) => 1000 * dbToPower(k - 16));
  return { x, db: x.map(ten) };
})();

/**
 * The effect of a shape on the power of noise that passes it, decibels.
 *
 * @param noise its spectrum; white if absent
 * @example
 * computeNoiseRise(() => 3).toFixed(2); // "3.00"
 * // A bell at 1 kHz boosts little of white noise, most of which is above 5 kHz.
 * computeNoiseRise(createBell(1000, 1, 6)) < 0.5; // true
 */
export function computeNoiseRise(shape: Shape, noise: NoiseSpectrum = whiteNoise): number {
  let passed = 0;
  let all = 0;
  noise.x.forEach((hz, k) => {
    const db = noise.db[k];
    if (db === undefined) return;
    all += dbToPower(db);
    passed += 10 ** ((db + shape(hz)) / 10);
  });
  return all > 0 ? ten(passed / all) : 0;
}

/** A shape that knows what was subtracted from it. */
interface ReferredShape extends Shape {
  readonly at1kDb: number;
}

/** The product's responses are relative to 1 kHz, so every shape is too. */
const normalised = (shape: Shape): ReferredShape => {
  const at1kDb = shape(1000);
  return Object.assign((hz: number) => shape(hz) - at1kDb, { at1kDb });
};

/**
 * −10·log₁₀(1 + (fc/f)^(2n)): a pole (n = 1) or a Butterworth high-pass of order n.
 *
 * @example
 * // Half the power at the corner, against a hundredth less at 1 kHz.
 * createLowRollOff(100, 1)(100).toFixed(2); // "-2.97"
 */
export const createLowRollOff = (cornerHz: number, order: number): ReferredShape =>
  normalised((hz) => -ten(1 + (cornerHz / hz) ** (2 * order)));

/**
 * Loss if a series capacitor has less capacitance left than its siblings': their corner f₀ rises to
 * √(f₀² + m²), −10·log₁₀(1 + m²/(f² + f₀²)).
 *
 * @param usualHz corner of a healthy one; 0 if it is out of reach
 * @example
 * // Nothing has moved.
 * createLostCapacitance(0, 10)(20) === 0; // true
 * // 10·lg((20² + 10²)/(20² + 10² + 100²)), 0.043 dB of it at 1 kHz.
 * createLostCapacitance(100, 10)(20).toFixed(2); // "-13.18"
 */
export const createLostCapacitance = (movedHz: number, usualHz: number): ReferredShape =>
  normalised((hz) => -ten(1 + movedHz ** 2 / (hz ** 2 + usualHz ** 2)));

/**
 * −10·log₁₀(1 + (f/fc)^(2n)).
 *
 * @example
 * createHighRollOff(10_000, 1)(10_000).toFixed(2); // "-2.97"
 */
export const createHighRollOff = (cornerHz: number, order: number): ReferredShape =>
  normalised((hz) => -ten(1 + (hz / cornerHz) ** (2 * order)));

/**
 * Shelf at the low end, `db` far below the corner and 0 above; of order 1 or 2, like roll-offs.
 *
 * @example
 * // Far below the corner the whole of it.
 * createLowShelf(100, 6)(0.1).toFixed(1); // "5.9"
 */
export const createLowShelf = (cornerHz: number, db: number, order = 1): ReferredShape => {
  const g = dbToPower(db);
  return normalised((hz) => {
    const x = (cornerHz / hz) ** (2 * order);
    return ten((1 + g * x) / (1 + x));
  });
};

/**
 * Shelf at the high end.
 *
 * @example
 * createHighShelf(10_000, 6)(1e7).toFixed(1); // "5.9"
 */
export const createHighShelf = (cornerHz: number, db: number, order = 1): ReferredShape => {
  const g = dbToPower(db);
  return normalised((hz) => {
    const x = (hz / cornerHz) ** (2 * order);
    return ten((1 + g * x) / (1 + x));
  });
};

/**
 * Second-order bell, (1−x²)²+(gx/Q)² over (1−x²)²+(x/Q)²; a cut is the inverse of a boost.
 *
 * @example
 * createBell(3000, 2, 6)(3000) - createBell(3000, 2, 6)(1e6) > 5.99; // true
 */
export const createBell = (middleHz: number, q: number, db: number): ReferredShape => {
  const g2 = dbToPower(Math.abs(db));
  const sign = Math.sign(db);
  return normalised((hz) => {
    const x2 = (hz / middleHz) ** 2;
    const open = (1 - x2) ** 2;
    const across = x2 / (q * q);
    return sign * ten((open + g2 * across) / (open + across));
  });
};

/**
 * Fits a roll-off of a given order by its corner.
 *
 * @param side which end of the band
 * @returns undefined without a curve
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * // −10·lg(1 + (100/f)²), the textbook high-pass, against its own level at 1 kHz.
 * const highPass = (hz) => powerToDb(1 + (100 / 1000) ** 2) - powerToDb(1 + (100 / hz) ** 2);
 * Math.round(fitRollOffShape(curve(highPass), "low", 1).hz); // 100
 */
export function fitRollOffShape(
  curve: CurveDifference,
  side: "low" | "high",
  order: number,
): FittedShape {
  const make = side === "low" ? createLowRollOff : createHighRollOff;
  // A capacitor that is almost open, or a joint that only couples capacitively, passes only treble.
  const [from, to] = side === "low" ? [3, 20_000] : [900, 90_000];
  const rest = (hz: number) => misfit(curve, make(hz, order));
  const hz = minimum(rest, from, to);
  const shape = make(hz, order);
  return { shape, hz, db: 0, restDb: rest(hz), at1kDb: shape.at1kDb };
}

/**
 * High-pass filter of second order with a given Q, or of third with one more pole at its corner:
 * f⁴/((f² − fc²)² + (f·fc/Q)²), and f²/(f² + fc²).
 *
 * @example
 * // Q = 1/√2 is Butterworth's: 3.01 dB down at the corner.
 * const filter = createLowCut(80, Math.SQRT1_2, 2);
 * (filter(80) - filter(1e6)).toFixed(2); // "-3.01"
 * // Two equal poles one after the other have Q = 1/2: 6.02 dB.
 * (createLowCut(80, 0.5, 2)(80) - createLowCut(80, 0.5, 2)(1e6)).toFixed(2); // "-6.02"
 */
export const createLowCut = (cornerHz: number, q: number, order: 2 | 3): ReferredShape =>
  normalised((hz) => {
    const x2 = (hz / cornerHz) ** 2;
    const biquad = x2 ** 2 / ((1 - x2) ** 2 + x2 / (q * q));
    return ten(order === 2 ? biquad : (biquad * x2) / (1 + x2));
  });

/**
 * Deliberate filters: two equal poles without an amplifier, Bessel, Butterworth, and one with a
 * slight peak; of third order, three equal poles, and Butterworth (common practice; U. Tietze, C.
 * Schenk, Electronic Circuits, on active filters).
 */
const lowCuts = [
  { order: 2, q: 0.5 },
  { order: 2, q: 1 / Math.sqrt(3) },
  { order: 2, q: Math.SQRT1_2 },
  { order: 2, q: 1 },
  { order: 3, q: 0.5 },
  { order: 3, q: 1 },
] as const;

/** A fitted low-cut filter. */
export interface FittedLowCut extends FittedShape {
  readonly order: 2 | 3;
}

/**
 * Fits a deliberate low-cut filter by its corner and its kind.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * // Two RC high-passes of 80 Hz, one after the other: −20·lg(1 + (80/f)²).
 * const two = (hz) => -amplitudeToDb(1 + (80 / hz) ** 2);
 * const found = fitLowCut(curve((hz) => two(hz) - two(1000)));
 * [Math.round(found.hz), found.order]; // [80, 2]
 */
export function fitLowCut(curve: CurveDifference): FittedLowCut {
  return onceFor(curve, "low cut", () =>
    lowCuts
      .map(({ order, q }): FittedLowCut => {
        const rest = (hz: number) => misfit(curve, createLowCut(hz, q, order));
        const hz = minimum(rest, 3, 20_000);
        const shape = createLowCut(hz, q, order);
        return { shape, hz, db: 0, restDb: rest(hz), at1kDb: shape.at1kDb, order };
      })
      .reduce((a, b) => (b.restDb < a.restDb ? b : a)),
  );
}

/**
 * Fits {@link createLostCapacitance} by how far the corner moved.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * // A corner of 10 Hz that moves to √(10² + 99.5²) Hz: 10·lg((f² + 10²)/(f² + 10² + m²)).
 * const lost = (hz) => -powerToDb(1 + 99.5 ** 2 / (hz ** 2 + 10 ** 2));
 * fitLostCapacitance(curve((hz) => lost(hz) - lost(1000)), 10).hz.toFixed(1); // "99.5"
 */
export function fitLostCapacitance(curve: CurveDifference, usualHz: number): FittedShape {
  const rest = (hz: number) => misfit(curve, createLostCapacitance(hz, usualHz));
  const hz = minimum(rest, 1, 20_000);
  const shape = createLostCapacitance(hz, usualHz);
  return { shape, hz, db: 0, restDb: rest(hz), at1kDb: shape.at1kDb };
}

/**
 * Loss by slew-rate limiting: none up to the frequency at which a sine is that steep, and above it
 * 6 dB per octave, since the sine has become a triangle (its fundamental is 8/π² of its peak; the
 * step of 1.8 dB between the two is spread over half an octave).
 */
const createSlewLimit = (limitHz: number): ReferredShape =>
  normalised((hz) => {
    const over = hz / limitHz;
    if (over <= 1) return 0;
    const triangle = 20 * Math.log10(((Math.PI / 2) * (8 / Math.PI ** 2)) / over);
    return over < Math.SQRT2 ? (Math.log2(over) / Math.log2(Math.SQRT2)) * slewEdgeDb : triangle;
  });
const slewEdgeDb = 20 * Math.log10(4 / Math.PI / Math.SQRT2);

/**
 * Fits {@link createSlewLimit} by its frequency.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * // A sine of 5 kHz is just as steep as possible; one of twice that is a triangle of half the height,
 * // whose fundamental is 8/π² of its peak: 2.1 dB higher than half.
 * const limited = (hz) => Math.min(0, amplitudeToDb((4 / Math.PI) * (5000 / hz)));
 * Math.abs(fitSlewLimit(curve(limited)).hz - 5000) < 250; // true
 */
export function fitSlewLimit(curve: CurveDifference): FittedShape {
  const rest = (hz: number) => misfit(curve, createSlewLimit(hz));
  const hz = minimum(rest, 2000, 40_000);
  const shape = createSlewLimit(hz);
  return { shape, hz, db: 0, restDb: rest(hz), at1kDb: shape.at1kDb };
}

/**
 * Fits a shelf of first or second order by its corner and height.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * const lift = createHighShelf(6000, 4);
 * const found = fitShelf(curve(lift), "high");
 * Math.abs(found.db - 4) < 0.2; // true
 * found.restDb < 0.05; // true
 */
export function fitShelf(curve: CurveDifference, side: "low" | "high"): FittedShape {
  return onceFor(curve, `${side} shelf`, () => searchShelf(curve, side));
}

function searchShelf(curve: CurveDifference, side: "low" | "high"): FittedShape {
  const make = side === "low" ? createLowShelf : createHighShelf;
  const [from, to] = side === "low" ? [20, 800] : [1500, 30_000];
  const sign = Math.sign(curve.y[side === "low" ? 0 : curve.y.length - 1]) || 1;
  const heights = [1.2, 2, 3, 5, 7, 10, 15].map((db) => sign * db);
  const candidates = [1, 2].flatMap((order) =>
    heights.map((db) => {
      const hz = minimum((f) => misfit(curve, make(f, db, order)), from, to, 24);
      return { hz, db, order, restDb: misfit(curve, make(hz, db, order)) };
    }),
  );
  candidates.sort((p, q) => p.restDb - q.restDb);
  return bestOf(candidates.slice(0, 3), ({ hz, db, order }) =>
    refined(curve, (h, d) => make(h, d, order), hz, db),
  );
}

/**
 * Fits a first-order fall at the low end that levels out, as from a dried-out gain-leg capacitor:
 * far below its corner the stage still has a gain of one.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * const fall = createLowShelf(200, -10);
 * const found = fitFallingShelf(curve(fall));
 * found.db.toFixed(1); // "-10.0"
 */
export function fitFallingShelf(curve: CurveDifference): FittedShape {
  return onceFor(curve, "falling shelf", () => searchFallingShelf(curve));
}

function searchFallingShelf(curve: CurveDifference): FittedShape {
  const depths = [2, 3, 4.5, 6.5, 9, 12, 16, 21, 27].map((db) => {
    const hz = minimum((f) => misfit(curve, createLowShelf(f, -db)), 3, 1200, 24);
    return { hz, db: -db, restDb: misfit(curve, createLowShelf(hz, -db)) };
  });
  depths.sort((p, q) => p.restDb - q.restDb);
  return bestOf(depths.slice(0, 2), ({ hz, db }) =>
    refined(curve, (h, d) => createLowShelf(h, d), hz, db),
  );
}

/** Centre frequencies at which a bell is sought, sixths of an octave. */
const bellMiddles = Array.from({ length: 58 }, (_, k) => 25 * 2 ** (k / 6));
const bellWidths = [0.2, 0.33, 0.5, 0.8, 1.2, 2, 3.5, 6];
/** Number of best ones that are refined. */
const bellsRefined = 4;
/** Height at which bells are compared with the response until their own is known, decibels. */
const trialDb = 6;

/**
 * Fits a bell by its centre frequency, height and width. Every response is zero at 1 kHz, so a bell
 * near there shifts everything else: level and shape are always fitted together.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * const bell = createBell(3000, 1, 6);
 * const found = fitBell(curve(bell));
 * Math.abs(found.db - 6) < 0.2; // true
 * Math.abs(found.hz - 3000) < 60; // true
 */
export function fitBell(curve: CurveDifference): FittedShape {
  return onceFor(curve, "bell", () => searchBell(curve));
}

function searchBell(curve: CurveDifference): FittedShape {
  const candidates = bellMiddles.flatMap((hz) =>
    bellWidths.map((q) => {
      const db = clampDb(trialDb * computeProjection(curve, createBell(hz, q, trialDb)));
      return { hz, q, db, restDb: misfit(curve, createBell(hz, q, db)) };
    }),
  );
  candidates.sort((a, b) => a.restDb - b.restDb);
  return bestOf(candidates.slice(0, bellsRefined), ({ hz, q, db }) =>
    refinedBell(curve, hz, q, db),
  );
}

/** Heights at which a bell is tried, with their sign; refinement does the rest. */
const clampDb = (db: number) => Math.sign(db || 1) * Math.min(24, Math.max(0.5, Math.abs(db)));

function refinedBell(curve: CurveDifference, hz0: number, q0: number, db0: number): FittedShape {
  let fit = refined(curve, (hz, db) => createBell(hz, q0, db), hz0, db0);
  let q = q0;
  for (let pass = 0; pass < 2; pass++) {
    const { hz, db } = fit;
    q = minimum((width) => misfit(curve, createBell(hz, width, db)), q / 1.7, q * 1.7, 8);
    fit = refined(curve, (f, d) => createBell(f, q, d), hz, db);
  }
  return fit;
}

/** Least-squares amount of a shape in the response. */
function computeProjection({ x, y }: CurveDifference, shape: Shape): number {
  let along = 0;
  let own = 0;
  for (let i = firstOf(x); i < x.length; i = next(x, i)) {
    const db = shape(x[i]);
    along += y[i] * db;
    own += db * db;
  }
  return own === 0 ? 0 : along / own;
}

function bestOf<T>(candidates: readonly T[], fit: (candidate: T) => FittedShape): FittedShape {
  return candidates.map(fit).reduce((a, b) => (b.restDb < a.restDb ? b : a));
}

/** Adjusts centre and height alternately to minimise the misfit. */
function refined(
  curve: CurveDifference,
  make: (hz: number, db: number) => ReferredShape,
  hz0: number,
  db0: number,
): FittedShape {
  let hz = hz0;
  let db = db0;
  for (let pass = 0; pass < 3; pass++) {
    const height = minimum(
      (size) => misfit(curve, make(hz, Math.sign(db0) * size)),
      Math.max(0.3, Math.abs(db) / 2),
      Math.max(0.6, Math.abs(db) * 2),
      12,
    );
    db = Math.sign(db0) * height;
    hz = minimum((f) => misfit(curve, make(f, db)), hz / 1.6, hz * 1.6, 12);
  }
  const shape = make(hz, db);
  return { shape, hz, db, restDb: misfit(curve, shape), at1kDb: shape.at1kDb };
}

/** R.m.s. residual of a shape, decibels; points within their spread count little. */
function misfit({ x, y }: CurveDifference, shape: Shape): number {
  let sum = 0;
  let count = 0;
  for (let i = firstOf(x); i < x.length; i = next(x, i)) {
    sum += (y[i] - shape(x[i])) ** 2;
    count++;
  }
  return count === 0 ? 0 : Math.sqrt(sum / count);
}

/** Below 20 Hz points are a fifth of an octave apart, above on the 1/24-octave grid. */
const fineFromHz = 20;
/** Every fourth point of that grid: shapes are far wider. */
const firstOf = (x: readonly number[]) => (x[0] < fineFromHz ? 0 : 2);
const next = (x: readonly number[], i: number) => i + (x[i] < fineFromHz ? 2 : 4);

/**
 * Minimum on a logarithmic scale: a coarse scan, then golden-section search around its best point.
 */
function minimum(rest: (x: number) => number, low: number, high: number, steps = 48): number {
  const ratio = (high / low) ** (1 / steps);
  let best = low;
  let least = Number.POSITIVE_INFINITY;
  for (let k = 0; k <= steps; k++) {
    const value = rest(low * ratio ** k);
    if (value < least) {
      least = value;
      best = low * ratio ** k;
    }
  }
  let a = Math.log(best / ratio);
  let b = Math.log(best * ratio);
  const golden = (Math.sqrt(5) - 1) / 2;
  let c = b - golden * (b - a);
  let d = a + golden * (b - a);
  let atC = rest(Math.exp(c));
  let atD = rest(Math.exp(d));
  for (let k = 0; k < 18; k++) {
    if (atC < atD) {
      b = d;
      d = c;
      atD = atC;
      c = b - golden * (b - a);
      atC = rest(Math.exp(c));
    } else {
      a = c;
      c = d;
      atC = atD;
      d = a + golden * (b - a);
      atD = rest(Math.exp(d));
    }
  }
  return Math.exp((a + b) / 2);
}

/** A range of the response with a constant offset. */
export interface LevelBreak {
  readonly fromHz: number;
  readonly toHz: number;
  readonly db: number;
  /** R.m.s. misfit outside it, decibels. */
  readonly restDb: number;
}

/** Minimum width of a break, in points, and its minimum distance from either end of the band. */
const leastBreak = 6;
const besideBreak = 8;
/** The sweep's time window blurs its edges: this many points at each do not count. */
const blurred = 4;

/**
 * Fits a range between two frequencies in which the level breaks during the sweep and then
 * recovers: flat with steep edges, unlike any filter.
 *
 * @example
 * const x = buildOctaveGrid(24, 20, 20_000);
 * const curve = (shape) => ({ x, y: x.map(shape) });
 *
 * const found = fitLevelBreak(curve((hz) => (hz > 2000 && hz < 4000 ? -2 : 0)));
 * found.db.toFixed(1); // "-2.0"
 */
export function fitLevelBreak(curve: CurveDifference): LevelBreak | undefined {
  return onceFor(curve, "level break", () => searchLevelBreak(curve));
}

function searchLevelBreak({ x, y }: CurveDifference): LevelBreak | undefined {
  const first = x.findIndex((hz) => hz >= fineFromHz);
  if (first < 0) return undefined;
  const sums = [0];
  const squares = [0];
  for (let i = 0; i < y.length; i++) {
    sums.push(sums[i] + y[i]);
    squares.push(squares[i] + y[i] * y[i]);
  }
  const within = (from: number, to: number) => ({
    count: to - from,
    sum: sums[to] - sums[from],
    squares: squares[to] - squares[from],
  });
  let best: LevelBreak | undefined;
  for (let from = first + besideBreak; from < y.length - besideBreak; from += 2) {
    for (let to = from + leastBreak; to <= y.length - besideBreak; to += 2) {
      const inner = within(from + (blurred >> 1), to - (blurred >> 1));
      const outer = [within(first, from - blurred), within(to + blurred, y.length)];
      const db = inner.sum / inner.count;
      const rest = inner.squares - inner.count * db * db + outer[0].squares + outer[1].squares;
      const count = inner.count + outer[0].count + outer[1].count;
      const restDb = Math.sqrt(Math.max(0, rest) / count);
      if (!best || restDb < best.restDb) best = { fromHz: x[from], toHz: x[to - 1], db, restDb };
    }
  }
  return best;
}
