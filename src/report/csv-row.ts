import { sanitizeLine } from "./sanitize.js";

/** What a cell may hold; undefined gives an empty one. */
export type Cell = string | number | undefined;

/** First characters that make a spreadsheet read a text as a formula, full-width ones included. */
const formula = /^[=+\-@\uFF1D\uFF0B\uFF0D\uFF20]/;

/**
 * A table as CSV (RFC 4180): CRLF after every row, a comma between cells, quotes where a cell holds
 * a comma or quotes. Numbers have a decimal point and no grouping. A text that a spreadsheet would
 * read as a formula gets an apostrophe in front; texts must hold no control characters.
 *
 * @param columns their names, the first row
 */
export function formatCsvTable(
  columns: readonly string[],
  rows: readonly (readonly Cell[])[],
): string {
  return [columns, ...rows].map((row) => `${row.map(csvCell).join(",")}\r\n`).join("");
}

function csvCell(cell: Cell): string {
  if (cell === undefined) return "";
  if (typeof cell === "number") return String(cell);
  const text = sanitizeLine(cell);
  const plain = formula.test(text) ? `'${text}` : text;
  return /[",]/.test(plain) ? `"${plain.replaceAll('"', '""')}"` : plain;
}
