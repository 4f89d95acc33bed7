import Table from "cli-table3";

/** One column of a table of text. */
export interface Column {
  readonly head: string;
  /** Columns of the terminal, including the gap to the next one. */
  readonly width: number;
  readonly align?: "left" | "right";
}

/** A rule under the head only; columns are separated by white space. */
const chars = {
  top: "",
  "top-mid": "",
  "top-left": "",
  "top-right": "",
  bottom: "",
  "bottom-mid": "",
  "bottom-left": "",
  "bottom-right": "",
  left: "",
  "left-mid": "",
  mid: "",
  "mid-mid": "",
  right: "",
  "right-mid": "",
  middle: "",
};

/**
 * A table as lines of text; cells wrap within their column.
 *
 * @param columns widths add up to the line's length
 * @param rows one string per column; a line break starts a new line in the cell
 */
export function renderTable(
  columns: readonly Column[],
  rows: readonly (readonly string[])[],
): string {
  const table = new Table({
    head: columns.map(({ head }) => head),
    colWidths: columns.map(({ width }) => width),
    colAligns: columns.map(({ align }) => align ?? "left"),
    chars,
    style: { "padding-left": 0, "padding-right": 1, head: [], border: [], compact: true },
    wordWrap: true,
  });
  table.push(...rows.map((row) => [...row]));
  return table
    .toString()
    .split("\n")
    .map((line) => line.trimEnd())
    .join("\n");
}
