/**
 * That a round cannot be read and was passed over, with what to do about it.
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

/** That a round is of another desk and was passed over. */
export function formatOtherDesk(round: string, name: string): string {
  return `Skipped: Round ${round} is of the desk "${name}".`;
}

/** Why a round of some paths alone is none to compare with. */
export function formatPartialRound(round: string): string {
  return `Round ${round} is a partial one.`;
}
