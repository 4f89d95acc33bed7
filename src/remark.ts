/**
 * What several strips have in common, as data: a code and its facts. `report/remarks` has the words,
 * once.
 */
export type Remark =
  | {
      /** A family that consists of two groups, such as renewed and original strips. */
      readonly code: "two-batches";
      readonly family: string;
      /** Strips of each group. */
      readonly strips: readonly [readonly string[], readonly string[]];
      /** Readings in which they differ. */
      readonly readings: readonly string[];
    }
  | {
      readonly code: "cause-on-nearly-all";
      readonly cause: string;
      readonly count: number;
      /** Strips that were judged. */
      readonly of: number;
    }
  | {
      /** Strips that share a part which the desk file names. */
      readonly code: "cause-on-shared-part";
      readonly cause: string;
      readonly part: string;
      readonly strips: readonly string[];
      /** Strips of the part that do not show it. */
      readonly without: readonly string[];
    }
  | {
      readonly code: "cause-on-neighbours";
      readonly cause: string;
      readonly first: string;
      readonly last: string;
    }
  | {
      /** A reading of several strips together, open at once on one channel, is too high. */
      readonly code: "sum-too-high";
      readonly reading: string;
      readonly paths: readonly string[];
      /** Above the sum of as many healthy strips, in `unit`. */
      readonly above: number;
      readonly unit: string;
      readonly against: "siblings" | "earlier";
    }
  | {
      /** Hum of strips that is above the usual by no more than adding in phase may cause. */
      readonly code: "sum-in-phase";
      readonly reading: string;
      readonly paths: readonly string[];
      /** Decibels. */
      readonly above: number;
    }
  | {
      /** It is not known what these sums should be. */
      readonly code: "sums-unjudged";
      readonly readings: readonly string[];
      readonly paths: number;
    }
  | {
      readonly code: "family-past-limit";
      readonly family: string;
      /** Paths past it, of those judged. */
      readonly count: number;
      readonly of: number;
      readonly limit: string;
      readonly expression: string;
      /**
       * The round that the limit compares the family with; absent for a limit on today's values
       * alone.
       */
      readonly since?: string;
    };
