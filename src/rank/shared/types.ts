import type { SharedAspect } from "../../measure/reading-kind.js";
import type { PathToRank } from "../family-stats.js";

export type { SharedAspect };

/** What several paths can have in common: parts of the desk, then what is outside it. */
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
  /** As the desk file names it; absent where the file names none. */
  readonly name?: string;
  /** Absent where it is not a matter of strips. */
  readonly strips?: readonly string[];
  /** The side of a stereo bus that alone shows it. */
  readonly side?: "left" | "right";
}

/** How a reading or a curve differs on the paths that share a part. */
export interface SharedFinding {
  /** Reading id, or the name of a curve. */
  readonly reading: string;
  /** Median of the paths concerned minus what was expected, in `unit`. */
  readonly deviation: number;
  readonly unit: string;
  /** Median of the paths concerned. */
  readonly value: number;
  readonly expected: number;
  /** Where on the curve, for curves. */
  readonly atHz?: number;
  /** Of noise that is mostly a steady tone: its frequency. */
  readonly toneHz?: number;
}

/** A fault or setting of what several paths share. */
export interface SharedFault {
  readonly part: SharedPart;
  readonly paths: readonly string[];
  /** What it shows in, the most telling first. */
  readonly findings: readonly SharedFinding[];
  /** The aspect of `findings[0]`. */
  readonly aspect: SharedAspect;
  /**
   * What the paths were compared with; `reference-path`: with itself, as a path past all strips shows
   * it, in an earlier round or earlier in the round; `other-side`: with the other side of a stereo bus.
   */
  readonly against: "siblings" | "expectation" | "baseline" | "reference-path" | "other-side";
  readonly severity: "watch" | "service";
  /**
   * Whether a path past all strips shows it too; absent if none was played, or if it cannot show
   * it.
   */
  readonly reference?: "shows" | "partly" | "clean";
  /** Of a shared part, against each path having a fault of its own; 0 to 1. */
  readonly probability?: number;
  /** Set if it is beyond what such a desk should show, whatever reported it first. */
  readonly beyondExpectation?: true;
}

/** A path with its place in the desk. */
export interface PlacedInput extends PathToRank {
  readonly strip: string;
  readonly input: string;
}

/** A part that the desk file names, with the strips that share it. */
export interface NamedPart {
  readonly kind: SharedPartKind;
  readonly name: string;
  readonly strips: readonly string[];
  /** Set where only some paths of these strips went through it, as through a pass's output or bus. */
  readonly paths?: readonly string[];
}

/** What a desk's strips have in common, as far as it is known. */
export interface SharedStructure {
  /** In the desk's physical order. */
  readonly strips: readonly string[];
  readonly parts: readonly NamedPart[];
  /** Set where the level is known not to have been touched while the round was recorded. */
  readonly levelHeld?: true;
}
