import type { StoredReason } from "../../history/get-reason.js";
import { formatNotMeasured } from "./format-not-measured.js";

/**
 * Why a path was not measured, in the words that its round holds, or worded from its data if it has
 * none.
 *
 * @returns undefined if no reason is stored
 */
export function formatReason({ reason, because }: StoredReason): string | undefined {
  return reason ?? (because === undefined ? undefined : formatNotMeasured(because));
}
