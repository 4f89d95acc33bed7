import type { Withdrawal } from "../history/withdrawn.js";
import { formatCommand } from "../text/program-name.js";

/**
 * Says that a round was withdrawn, and what that reopened.
 *
 * @param reopened how many faults it had proved fixed
 */
export function formatWithdrawn(
  { round, because }: Pick<Withdrawal, "round" | "because">,
  reopened: number,
): string {
  const faults =
    reopened === 1
      ? "A fault that it proved repaired is"
      : `${reopened} faults that it proved repaired are`;
  const open = reopened === 0 ? "" : ` ${faults} open again.`;
  return `Withdrew round ${round}: ${because}. It stays on disk but no longer counts.${open} \`${formatCommand(`withdraw ${round} --undo`)}\` brings it back.`;
}

/** Says that a withdrawn round counts again. */
export function formatRestored(round: string): string {
  return `Round ${round} counts again.`;
}
