import { formatCsvTable } from "../csv-row.js";
import type { WordedPlan } from "./worded.js";

/** The parts to have on the bench, for ordering. */
export function renderPartsCsv({ parts }: WordedPlan): string {
  return formatCsvTable(
    ["part", "value", "count", "spare", "strips"],
    parts.map(({ what, value, count, spare, strips, sections = [] }) => [
      what,
      value,
      count,
      spare,
      [...strips, ...sections.map((name) => name.replace(/\s+/g, "-"))].join(" "),
    ]),
  );
}
