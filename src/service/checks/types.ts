import type { CheckJudgement } from "../../diagnose/checks/judge-check.js";
import type { RoundPath } from "../../history/types.js";

/** Result of the second play of one path. */
export interface SecondPlay {
  readonly outcome: CheckJudgement["outcome"];
  /** Readings seen, as stored in the notebook. */
  readonly figures: readonly string[];
  /** The path to decide on. */
  readonly path: string;
  /** What was recorded: the path itself, or another input of its strip. */
  readonly recorded: string;
  readonly check: string;
  /** The note that stores it; absent if it showed nothing, or was not to be stored. */
  readonly note?: string;
  /** The round's path with all checks weighed in. */
  readonly now: Pick<RoundPath, "path" | "causes" | "next">;
  /** Its causes before. */
  readonly before: RoundPath["causes"];
}

export interface SecondPlays {
  /** The round that they are compared with. */
  readonly against: string;
  readonly plays: readonly SecondPlay[];
}
