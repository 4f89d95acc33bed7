import type { Cause } from "../../diagnose/types.js";
import type { Reading } from "../../measure/types.js";
import type { JudgedSum } from "../../rank/sums.js";
import type { Round, RoundCapture, RoundFinding, RoundPath, RoundShared } from "../types.js";

/**
 * What is needed of many rounds at once: all of a round but its curves, uncertainties and
 * reasoning, which are nine tenths of its file. A round is its own facts.
 */
export interface RoundFacts extends Pick<Round, "id" | "date" | "desk" | "signal" | "partial"> {
  readonly calibration: object | null;
  readonly captures: readonly Pick<RoundCapture, "sha256">[];
  readonly paths: readonly PathFacts[];
  /**
   * Of a round recorded in stereo: the second sides, and first sides that were measured second.
   * See {@link withFactsOfSides}.
   */
  readonly sides?: readonly PathFacts[];
  /** Faults of what several paths share; absent if there are none. */
  readonly shared?: readonly Pick<RoundShared, "part" | "severity">[];
  /** Sums of strips that are too high; absent if none is. */
  readonly tooHigh?: readonly Pick<JudgedSum, "paths" | "reading">[];
}

/** A path of a round. */
export interface PathFacts
  extends Pick<RoundPath, "path" | "strip" | "input" | "family" | "status" | "oddness"> {
  /** Those that were asked for; to be looked up by their ids. */
  readonly readings: Readonly<Record<string, ReadingFacts>>;
  /** At least those that are more than a remark. */
  readonly findings: readonly Pick<RoundFinding, "severity" | "words">[];
  /** At least the likeliest. */
  readonly causes: readonly Pick<Cause, "kind" | "name">[];
}

export type ReadingFacts = Pick<Reading, "value" | "unit" | "bound" | "limitedBy">;
