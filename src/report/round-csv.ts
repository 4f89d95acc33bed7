import { getAbsences } from "../history/absences.js";
import type { RoundPath, RoundReference } from "../history/types.js";
import { readingKinds } from "../measure/reading-kinds.js";
import { formatStoredAbsence } from "./absences/format-absence.js";
import { type Cell, formatCsvTable } from "./csv-row.js";

/** Columns about a path and one of its readings. */
export const readingColumns = [
  "path",
  "strip",
  "input",
  "family",
  "status",
  "reading",
  "value",
  "unit",
  "uncertainty",
  "limited_by",
] as const;

/** The parts of a path that its rows show, in a round or a check. */
export type ReadPath = Pick<
  RoundPath,
  "path" | "strip" | "input" | "family" | "status" | "reason" | "readings" | "absent" | "absences"
>;

/** Readings of a round as a table, one row for each path and reading; absent ones have a reason. */
export function renderRoundCsv(paths: readonly ReadPath[]): string {
  return formatCsvTable([...readingColumns, "reason"], paths.flatMap(rowsOf));
}

/**
 * Both turns of the reference path as paths of a table, without strip and input, in a separate
 * family.
 */
export function listReferenceRows(reference: RoundReference | undefined): readonly ReadPath[] {
  return (reference?.turns ?? []).map(({ turn, status, reason, readings, absent, absences }) => ({
    path: `reference ${turn}`,
    strip: "",
    input: "",
    family: "reference",
    status,
    readings,
    absent,
    ...(absences === undefined ? {} : { absences }),
    ...(reason === undefined ? {} : { reason }),
  }));
}

function rowsOf(path: ReadPath): readonly (readonly Cell[])[] {
  const ids = listReadingIds(path);
  if (ids.length === 0) return [[...buildReadingCells(path), path.reason]];
  return ids.map((id) => [...buildReadingCells(path, id), formatStoredAbsence(path, id)]);
}

/** The ids of readings made and absent, in the registry's order, unknown ones last. */
export function listReadingIds(path: ReadPath): readonly string[] {
  const own = new Set([...Object.keys(path.readings), ...Object.keys(getAbsences(path))]);
  const known: readonly string[] = readingKinds.map(({ id }) => id).filter((id) => own.has(id));
  return [...known, ...[...own].filter((id) => !known.includes(id))];
}

/** The cells of {@link readingColumns}. */
export function buildReadingCells(path: ReadPath, id?: string): readonly Cell[] {
  const { path: name, strip, input, family, status, readings } = path;
  const { value, unit, uncertainty, limitedBy } = readings[id ?? ""] ?? {};
  return [name, strip, input, family, status, id, value, unit, uncertainty, limitedBy];
}
