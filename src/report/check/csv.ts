import type { SharedCheck } from "../../service/limits/types.js";
import { formatStoredAbsence } from "../absences/format-absence.js";
import { type Cell, formatCsvTable } from "../csv-row.js";
import { buildReadingCells, listReadingIds, readingColumns } from "../round-csv.js";
import { formatSharedLine, relationPhrases } from "./phrases.js";
import type { RenderCheck } from "./render-check.js";
import type { WordedLimitCheck, WordedPathCheck } from "./word-check.js";

/**
 * A row for each path and reading, and one more for every further limit on that reading. `value` is
 * the reading; `judged` is what the limit's expression makes of it, in `bound_unit`, to compare
 * with `bound`. Shared faults come first, one row for each finding: `shared 1` as the path, strips
 * or input in their columns, `judged` the deviation from the expected value in `bound`.
 */
export const renderCsv: RenderCheck = (check) =>
  formatCsvTable(
    [
      ...readingColumns,
      "limit",
      "judged",
      "relation",
      "bound",
      "bound_unit",
      "guard",
      "at_hz",
      "verdict",
      "reason",
    ],
    [...(check.shared ?? []).flatMap(sharedRows), ...check.paths.flatMap(rowsOf)],
  );

function sharedRows(one: SharedCheck, index: number): readonly (readonly Cell[])[] {
  const { part, findings, against } = one.fault;
  const input = part.kind === "input" ? part.name : undefined;
  const family = part.kind === "family" ? part.name : undefined;
  return findings.map(({ reading, value, unit, deviation, expected, atHz }, k) => [
    `shared ${index + 1}`,
    part.strips?.join(" "),
    input,
    family,
    "measured",
    reading,
    value,
    unit,
    undefined,
    undefined,
    `shared: ${against}`,
    deviation,
    undefined,
    expected,
    unit,
    undefined,
    atHz,
    one.verdict,
    k === 0 ? formatSharedLine(one) : undefined,
  ]);
}

function rowsOf(path: WordedPathCheck): readonly (readonly Cell[])[] {
  const limited = path.checks.map(({ reading }) => reading);
  const ids = [...new Set([...listReadingIds(path), ...limited])];
  const rows = ids.flatMap((id) => {
    const checks = path.checks.filter(({ reading }) => reading === id);
    const head = buildReadingCells(path, id);
    if (checks.length > 0) return checks.map((one) => [...head, ...limitCells(one)]);
    return [[...head, ...unlimited, formatStoredAbsence(path, id)]];
  });
  if (rows.length > 0) return rows;
  return [[...buildReadingCells(path), ...unlimited.slice(0, -1), path.verdict, path.reason]];
}

/** Cells of the columns from `limit` to `verdict` for a reading without a limit. */
const unlimited: readonly Cell[] = Array(8).fill(undefined);

function limitCells(check: WordedLimitCheck): readonly Cell[] {
  const { limit, value, relation, bound, unit, uncertainty, atHz, verdict, reason } = check;
  const words = relation && relationPhrases[relation];
  return [limit, value, words, bound, unit, uncertainty, atHz, verdict, reason];
}
