import type { RoundPath } from "./types.js";

/** Why a path was not measured: as data, in words, or both; older rounds have only the words. */
export type StoredReason = Pick<RoundPath, "reason" | "because">;

/** Why a stored path, or anything with the same fields, was not measured. */
export function getReason({ reason, because }: StoredReason): StoredReason {
  return {
    ...(reason === undefined ? {} : { reason }),
    ...(because === undefined ? {} : { because }),
  };
}
