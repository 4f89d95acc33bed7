import type { SharedAspect } from "../rank/shared/types.js";
import { causeKinds } from "./causes.js";

/**
 * The cause that shows in an aspect of a shared part.
 *
 * @returns its id; undefined for distortion, where smooth and crossover distortion look alike
 * @example
 * getSharedCause("polarity") !== undefined; // true
 * getSharedCause("distortion"); // undefined
 */
export function getSharedCause(aspect: SharedAspect): string | undefined {
  return causeKinds.find(({ sharedAspect }) => sharedAspect === aspect)?.id;
}
