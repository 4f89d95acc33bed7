import type { Absence, Absences } from "../measure/absence.js";

/** Readings and curves that could not be made, as a round keeps them. */
export interface StoredAbsences {
  /** In words: id to reason. */
  readonly absent: Readonly<Record<string, string>>;
  /** The same as data; absent if there is none, and in rounds made before it was kept. */
  readonly absences?: Absences;
}

/** Why a reading or a curve of a stored path could not be made; undefined if no reason is stored. */
export function getAbsence({ absent, absences }: StoredAbsences, id: string): Absence | undefined {
  const known = absences?.[id];
  if (known !== undefined) return known;
  const reason = absent[id];
  return reason === undefined ? undefined : { code: "as-recorded", reason };
}

/** The same for all readings and curves of a stored path. */
export function getAbsences(stored: StoredAbsences): Absences {
  const ids = new Set([...Object.keys(stored.absent), ...Object.keys(stored.absences ?? {})]);
  return Object.fromEntries(
    [...ids].flatMap((id) => {
      const absence = getAbsence(stored, id);
      return absence === undefined ? [] : [[id, absence] as const];
    }),
  );
}

/**
 * Reasons as held by a round that is judged but not stored: they are worded when it is shown.
 */
export function toStoredAbsences(absences: Absences): StoredAbsences {
  return { absent: {}, absences };
}
