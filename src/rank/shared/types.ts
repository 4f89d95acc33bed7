import type { SharedAspect } from "../../measure/reading-kind.js";
import type { PathToRank } from "../family-stats.js";

export type { SharedAspect };

/** Parts that several paths can share: parts of the desk, then those outside it. */
export const sharedPartKinds = [
  "supply",
  "ribbon",
  "bank",
  "input",
  "family",
  "bus",
  "group",
  "master",
  "desk-supply",
  "output",
  "interface",
  "mains",
  "level",
] as const;

export type SharedPartKind = (typeof sharedPartKinds)[number];

/** One part that paths share. */
export interface SharedPart {
  readonly kind: SharedPartKind;
  /** Its name in the desk file; absent if it has none. */
  readonly name?: string;
  /** Absent if it does not concern particular strips. */
  readonly strips?: readonly string[];
  /** The only side of a stereo bus that shows it. */
  readonly side?: "left" | "right";
}

/** Deviation of a reading or curve on the paths that share a part. */
export interface SharedFinding {
  /** Reading id, or the name of a curve. */
  readonly reading: string;
  /** Median of the paths concerned minus what was expected, in `unit`. */
  readonly deviation: number;
  readonly unit: string;
  /** Median of the paths concerned. */
  readonly value: number;
  readonly expected: number;
  /** Frequency, for curves. */
  readonly atHz?: number;
  /** Frequency of the tone, if the noise is mostly a steady tone. */
  readonly toneHz?: number;
}

/** A fault or setting of a part shared by several paths. */
export interface SharedFault {
  readonly part: SharedPart;
  readonly paths: readonly string[];
  /** Its findings, the most significant first. */
  readonly findings: readonly SharedFinding[];
  /** The aspect of `findings[0]`. */
  readonly aspect: SharedAspect;
  /**
   * What the paths were compared with; `reference-path`: with the reference path in an earlier
   * round or earlier in the round; `other-side`: with the other side of a stereo bus.
   */
  readonly against: "siblings" | "expectation" | "baseline" | "reference-path" | "other-side";
  readonly severity: "watch" | "service";
  /**
   * Whether the reference path also shows it; absent if none was played, or if it cannot show it.
   */
  readonly reference?: "shows" | "partly" | "clean";
  /** Probability of a shared fault rather than separate ones; 0 to 1. */
  readonly probability?: number;
  /** Set if it is beyond what such a desk should show, whatever reported it first. */
  readonly beyondExpectation?: true;
}

/** A path with its position in the desk. */
export interface PlacedInput extends PathToRank {
  readonly strip: string;
  readonly input: string;
}

/** A part that the desk file names, with the strips that share it. */
export interface NamedPart {
  readonly kind: SharedPartKind;
  readonly name: string;
  readonly strips: readonly string[];
  /** Set if only some paths of these strips went through it, as through a pass's output or bus. */
  readonly paths?: readonly string[];
}

/** Parts known to be shared by a desk's strips. */
export interface SharedStructure {
  /** In the desk's physical order. */
  readonly strips: readonly string[];
  readonly parts: readonly NamedPart[];
  /** Set if the level is known not to have changed during the round. */
  readonly levelHeld?: true;
}
