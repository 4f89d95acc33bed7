import type { Round } from "../../history/types.js";

/**
 * A round with its doubts worded for who stands here; one of an older program, which has the words
 * alone, as it is. The words of doubts are loaded for a round that has any.
 */
export async function wordWarnings(round: Round): Promise<Round> {
  const { warnings, doubts = [] } = round;
  if (doubts.length === 0 || doubts.length !== warnings.length) return round;
  const { formatDoubt } = await import("./format-doubt.js");
  return { ...round, warnings: doubts.map(formatDoubt) };
}
