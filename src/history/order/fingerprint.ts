import { curveKinds } from "../../measure/curve-kinds.js";
import { isBound } from "../../measure/is-bound.js";
import type { RecognitionFacet } from "../../measure/reading-kind.js";
import { getReadingId, readingKinds } from "../../measure/reading-kinds.js";
import type { Curves, Readings } from "../../measure/types.js";

/** Features of a path that stay the same between occasions and differ from its siblings'. */
export type Fingerprint = readonly (number | undefined)[];

interface Feature extends RecognitionFacet {
  /** Reading or curve. */
  readonly id: string;
  readonly read: (from: { readings: Readings; curves: Curves }) => number | undefined;
}

const ofReading = (id: string, facet: RecognitionFacet): Feature => ({
  ...facet,
  id,
  read: ({ readings }) => {
    const one = readings[id];
    return one === undefined || isBound(one) ? undefined : one.value;
  },
});

const ofCurve = (id: string, hz: number, facet: RecognitionFacet): Feature => ({
  ...facet,
  id,
  read: ({ curves: { [id]: curve } }) => {
    if (curve === undefined) return undefined;
    const apart = (x: number) => Math.abs(Math.log(x / hz));
    const at = curve.x.reduce((best, x, i) => (apart(x) < apart(curve.x[best]) ? i : best), 0);
    return curve.x.length > 0 && apart(curve.x[at]) < 0.1 ? curve.y[at] : undefined;
  },
});

/** Level by the hand that sets it, the band's ends by its capacitors, noise and distortion. */
const features: readonly Feature[] = [
  ...readingKinds.flatMap(({ id, recognition }) =>
    recognition === undefined ? [] : [ofReading(id, recognition)],
  ),
  ...curveKinds.flatMap(({ id, recognition }) =>
    recognition === undefined ? [] : recognition.atHz.map((hz) => ofCurve(id, hz, recognition)),
  ),
].sort((a, b) => a.order - b.order);

/** The features of a measured path, in a fixed order. */
export function computePathFingerprint(from: { readings: Readings; curves: Curves }): Fingerprint {
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
  features.forEach(({ repeat, withLevel = false }, k) => {
    const [x, y] = [a[k], b[k]];
    if (x === undefined || y === undefined) return;
    const apart = (x - y - (withLevel ? levelShift : 0)) / repeat;
    sum += Math.min(mostCost, 2.5 * Math.log1p(apart ** 2 / 4));
  });
  return sum;
}

/** Where gain is among the features. */
export const gainFeature = features.findIndex(({ id }) => id === getReadingId("gain"));
