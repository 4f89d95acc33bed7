/**
 * What differed in how rounds were made, and what follows from it, as data: a code and its facts.
 * `report/conditions` has the words, once.
 */
export type Condition =
  | { readonly code: "partial"; readonly round: string; readonly paths: number }
  | { readonly code: "other-profile"; readonly earlier: string; readonly later: string }
  | {
      readonly code: "other-rate";
      readonly thenHz: number;
      readonly nowHz: number;
      /** Whether the signals end at the same frequency, so that the high corner is compared. */
      readonly band: "same" | "other";
    }
  | { readonly code: "other-version"; readonly earlier: number; readonly later: number }
  | { readonly code: "other-level"; readonly thenDbfs: number; readonly nowDbfs: number }
  | { readonly code: "other-mains"; readonly thenHz: number; readonly nowHz: number }
  /** Strips were open at once in it, `together` of its paths; the other one was played path by path. */
  | { readonly code: "one-in-passes"; readonly round: string; readonly together: number }
  | {
      readonly code: "both-in-passes";
      /** Paths of which noise is of several strips, in either round. */
      readonly together: number;
      /** Paths that went through another output or channel than then. */
      readonly otherWay: number;
    }
  /** Its levels were taken back to dBFS. */
  | { readonly code: "one-calibrated"; readonly round: string }
  /** The later one was measured without the calibration there is, as the earlier one was. */
  | { readonly code: "calibration-left-out"; readonly round: string }
  /** Trends restart before a round. */
  | { readonly code: "new-epoch"; readonly round: string; readonly because: EpochReason };

/** Why readings before and after are not on one line. */
export type EpochReason =
  | { readonly code: "calibration-made" | "calibration-given-up" | "other-rate" | "other-level" }
  /** The level of all paths changed by as much, as by another interface. */
  | { readonly code: "level-step"; readonly db: number };
