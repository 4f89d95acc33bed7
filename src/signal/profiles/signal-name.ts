import type { Profile } from "../types.js";

/** Identifies one version of a profile, on paper and in its markers. */
export interface SignalName {
  readonly profile: Profile;
  readonly version: number;
  /** Encoded in the spacing of the markers' chirps; never reused. */
  readonly code: number;
}
