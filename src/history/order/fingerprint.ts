import type { Curves, Readings } from "../../measure/types.js";

/** What of a path stays the same from one occasion to the next, and differs from its siblings'. */
export type Fingerprint = readonly (number | undefined)[];

interface Feature {
  readonly read: (from: { readings: Readings; curves: Curves }) => number | undefined;
  /**
   * Standard deviation of one path from one occasion to another, in the feature's unit: common
   * practice, and never less than what the virtual desk's hands and noise make of it.
   */
  readonly repeat: number;
  /** Whether the interface's setting moves it for all paths. */
  readonly moves: "with-level" | "alone";
}

const reading = (id: string, repeat: number, moves: Feature["moves"] = "alone"): Feature => ({
  read: ({ readings }) => {
    const one = readings[id];
    return one === undefined || one.bound !== undefined || one.limitedBy === "noise"
      ? undefined
      : one.value;
  },
  repeat,
  moves,
});

const response = (hz: number, repeat: number): Feature => ({
  read: ({ curves: { response: curve } }) => {
    if (curve === undefined) return undefined;
    const apart = (x: number) => Math.abs(Math.log(x / hz));
    const at = curve.x.reduce((best, x, i) => (apart(x) < apart(curve.x[best]) ? i : best), 0);
    return curve.x.length > 0 && apart(curve.x[at]) < 0.1 ? curve.y[at] : undefined;
  },
  repeat,
  moves: "alone",
});

/** Level by the hand that sets it, the band's ends by its capacitors, noise and distortion. */
const features: readonly Feature[] = [
  reading("gain", 0.3, "with-level"),
  reading("hiss", 0.2, "with-level"),
  reading("thd", 0.5),
  reading("thd100", 0.5),
  reading("thdHot", 0.5),
  ...[20, 31.5, 63, 125].map((hz) => response(hz, 0.015)),
  ...[8000, 12_500, 20_000].map((hz) => response(hz, 0.015)),
];

/** The features of a measured path, in a fixed order. */
export function computeFingerprint(from: { readings: Readings; curves: Curves }): Fingerprint {
  return features.map(({ read }) => read(from));
}

/** How much one feature may cost: a fault on a path must not outweigh all else. */
const mostCost = 8;

/**
 * How unlike two fingerprints are: minus the logarithm of Student's density with four degrees of
 * freedom of each difference, without its constant and cut off, so that one reading that a fault
 * moved does not decide.
 *
 * @param levelShift what the interface did to all levels between the two
 * @returns 0 for equal ones; mean over the features that both have, times their number
 */
export function computeUnlikeness(a: Fingerprint, b: Fingerprint, levelShift = 0): number {
  let sum = 0;
  features.forEach(({ repeat, moves }, k) => {
    const [x, y] = [a[k], b[k]];
    if (x === undefined || y === undefined) return;
    const apart = (x - y - (moves === "with-level" ? levelShift : 0)) / repeat;
    sum += Math.min(mostCost, 2.5 * Math.log1p(apart ** 2 / 4));
  });
  return sum;
}

/** Where gain is among the features. */
export const gainFeature = 0;
