import type { Course, RoundName } from "../compare/types.js";
import type { Condition } from "../condition.js";

/** A limit that a reading may reach. */
export interface TrendLimit {
  readonly name: string;
  readonly value: number;
  /** Whether values above or below are beyond it. */
  readonly side: "upper" | "lower";
}

/** When a reading will reach its limit, in years after the last round. */
export interface Crossing {
  readonly limit: TrendLimit;
  readonly years: number;
  /** 95 %. */
  readonly from: number;
  readonly until: number;
  /** The same as days of the calendar. */
  readonly date: string;
  readonly fromDate: string;
  readonly untilDate: string;
  /** It may never come: `until` is later than anybody plans for. */
  readonly open?: true;
}

/** How a reading of a path, or of a family's paths together, goes from year to year. */
export interface Trend {
  readonly reading: string;
  readonly unit: string;
  /** Rounds that it was taken from. */
  readonly rounds: number;
  /** Value of the line at the last round. */
  readonly value: number;
  /** Slope at the last round. */
  readonly perYear: number;
  /** Expanded uncertainty (95 %) of the slope. */
  readonly uncertainty: number;
  /** Slope as a standard normal value. */
  readonly significance: number;
  /** Whether it is more than chance brings about among some thousand trends. */
  readonly significant: boolean;
  readonly course: Course;
  /** Significant, but too small over ten years to matter. */
  readonly slight?: true;
  /** Only if the slope is significant and leads to a limit within a lifetime. */
  readonly crossing?: Crossing;
  /** It is beyond this limit already. */
  readonly beyond?: TrendLimit;
}

export interface PathTrend extends Trend {
  readonly path: string;
  readonly strip: string;
  readonly input: string;
  readonly family: string;
  /** If it is steady between steps, all for the worse: how many, how large, how often. */
  readonly steps?: Steps;
  /** Rounds before which it jumped, as when parts are replaced; the line restarts there. */
  readonly jumps: readonly Jump[];
  /** Rounds that were left out as outliers. */
  readonly leftOut: readonly string[];
}

/** How a contact or a joint ages. */
export interface Steps {
  readonly count: number;
  /** The middle step; unit of the reading. */
  readonly change: number;
  readonly perYear: number;
}

export interface Jump {
  readonly round: string;
  /** Beyond what the years account for; unit of the reading. */
  readonly change: number;
}

export interface FamilyTrend extends Trend {
  readonly family: string;
  readonly paths: number;
}

/** Strips that will need the same work at about the same time. */
export interface Outlook {
  readonly reading: string;
  readonly limit: TrendLimit;
  readonly unit: string;
  readonly strips: readonly string[];
  readonly paths: readonly string[];
  /** The middle one's, years after the last round. */
  readonly years: number;
  /** From the earliest of any to the latest of any, 95 % each. */
  readonly from: number;
  readonly until: number;
  /** At least one of them may never reach its limit. */
  readonly open?: true;
}

/** All trends of a desk up to a round. */
export interface Trends {
  readonly format: "deskround-trends";
  readonly version: 1;
  readonly desk: string;
  readonly rounds: readonly RoundName[];
  readonly tool: { readonly name: "deskround"; readonly version: string };
  /** Where trends restart, and why. */
  readonly conditions: readonly Condition[];
  readonly outlook: readonly Outlook[];
  readonly families: readonly FamilyTrend[];
  readonly paths: readonly PathTrend[];
}
