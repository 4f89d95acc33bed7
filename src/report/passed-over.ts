/**
 * Says that a round cannot be read and was skipped, and what to do about it.
 *
 * @param error what reading it threw
 */
export function formatPassedOver({
  message,
  hint,
}: {
  readonly message: string;
  readonly hint?: string | undefined;
}): string {
  return `Skipped: ${message}${hint === undefined ? "" : ` ${hint}`}`;
}

/** Says that a round is of another desk and was skipped. */
export function formatOtherDesk(round: string, name: string): string {
  return `Skipped: Round ${round} is of the desk "${name}".`;
}

/** Why a round of only some paths cannot be compared with. */
export function formatPartialRound(round: string): string {
  return `Round ${round} is partial.`;
}
