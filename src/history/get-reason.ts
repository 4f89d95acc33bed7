import type { RoundPath } from "./types.js";

/** Why a path was not measured: as data, in words, or both; a round of before has the words alone. */
export type StoredReason = Pick<RoundPath, "reason" | "because">;

/** Of a stored path, or whatever holds the same, what says why it was not measured. */
export function getReason({ reason, because }: StoredReason): StoredReason {
  return {
    ...(reason === undefined ? {} : { reason }),
    ...(because === undefined ? {} : { because }),
  };
}
