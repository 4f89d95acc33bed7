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
  return `Passed over: ${message}${hint === undefined ? "" : ` ${hint}`}`;
}
