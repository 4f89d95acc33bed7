import type { Round } from "../../history/types.js";
import { formatDoubt } from "./format-doubt.js";

/** A round's doubts in words; those of an older round, which has the words alone, as it has them. */
export function listWarnings({
  warnings,
  doubts = [],
}: Pick<Round, "warnings" | "doubts">): readonly string[] {
  return doubts.length === warnings.length ? doubts.map(formatDoubt) : warnings;
}
