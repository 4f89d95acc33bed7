import type { Profile } from "../types.js";

/** What names one version of a profile, on paper and in its markers. */
export interface SignalName {
  readonly profile: Profile;
  readonly version: number;
  /** Names it in the spacing of the markers' chirps; never used again. */
  readonly code: number;
}
