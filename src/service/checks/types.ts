import type { CheckJudgement } from "../../diagnose/checks/judge-check.js";
import type { RoundPath } from "../../history/types.js";

/** What the second play of one path showed. */
export interface SecondPlay {
  readonly outcome: CheckJudgement["outcome"];
  /** What was seen of it, in the words that the notebook keeps. */
  readonly figures: readonly string[];
  /** The path in question. */
  readonly path: string;
  /** What was recorded: the path itself, or another input of its strip. */
  readonly recorded: string;
  readonly check: string;
  /** The note that keeps it; absent if it showed nothing, or nothing was to be kept. */
  readonly note?: string;
  /** The path of the round with all that was checked weighed in. */
  readonly now: Pick<RoundPath, "path" | "causes" | "next">;
  /** Its causes before. */
  readonly before: RoundPath["causes"];
}

export interface SecondPlays {
  /** The round that they are compared with. */
  readonly against: string;
  readonly plays: readonly SecondPlay[];
}
