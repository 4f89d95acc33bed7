import { aspectFacets } from "./aspect-facets.js";
import type { SharedAspect, SharedPartKind } from "./types.js";

/** A bus of some strips has the same readiness as a group. */
const ofGroup = {
  level: 0,
  noise: 0,
  treble: 0,
  bass: 0,
  dead: 0,
  clipping: -0.5,
  else: -1,
} as const;

/**
 * How likely a part causes an aspect, as the logarithm of odds relative to its most likely aspect.
 * By what the parts are made of: a supply carries ripple and limits the swing, a ribbon's contacts
 * lose level and its ground wire gathers hum, a group is an amplifier with resistors. Common
 * practice, no source.
 */
const readiness: Partial<
  Record<SharedPartKind, Partial<Record<SharedAspect, number>> & { readonly else: number }>
> = {
  supply: {
    "hum-even": 0,
    clipping: 0,
    dead: -0.5,
    noise: -1.5,
    distortion: -2,
    "hum-odd": -2.5,
    else: -5,
  },
  ribbon: {
    level: 0,
    "hum-odd": 0,
    dead: 0,
    treble: -1,
    polarity: -2,
    noise: -2,
    "hum-even": -2.5,
    bass: -3,
    else: -4,
  },
  group: ofGroup,
  bus: ofGroup,
  // An amplifier, a cable and two plugs before the strip.
  output: {
    level: 0,
    polarity: 0,
    treble: 0,
    dead: 0,
    "hum-odd": -0.5,
    bass: -1,
    noise: -1,
    distortion: -1,
    clipping: -1,
    else: -3,
  },
};

/** Parts after the point where the inputs of a strip join. */
const afterInputs: ReadonlySet<SharedPartKind> = new Set(["group", "bus", "master"]);

/**
 * What is added to the log-odds of a part for the aspect that it shows.
 *
 * @example
 * // A supply carries ripple, and hardly inverts anything.
 * getReadiness("supply", "hum-even"); // 0
 * getReadiness("supply", "polarity"); // -5
 */
export function getReadiness(kind: SharedPartKind, aspect: SharedAspect): number {
  const own = readiness[kind];
  return own === undefined ? 0 : (own[aspect] ?? own.else);
}

/**
 * Whether a part must show an aspect with the same power on every input.
 *
 * @example
 * isEqualOnInputs("group", "noise"); // true
 * isEqualOnInputs("supply", "noise"); // false
 */
export function isEqualOnInputs(kind: SharedPartKind, aspect: SharedAspect): boolean {
  return afterInputs.has(kind) && aspectFacets[aspect].isEqualOnInputs === true;
}
