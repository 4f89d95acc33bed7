import type { StoredReason } from "../../history/get-reason.js";
import { formatNotMeasured } from "./format-not-measured.js";

/**
 * Why a path was not measured, by the words that its round kept, or by its data where it has none.
 *
 * @returns undefined where nothing says why
 */
export function formatReason({ reason, because }: StoredReason): string | undefined {
  return reason ?? (because === undefined ? undefined : formatNotMeasured(because));
}
