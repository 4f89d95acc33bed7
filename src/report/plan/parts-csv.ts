import type { Plan } from "../../service/plan/types.js";
import { csvTable } from "../csv-row.js";

/** The parts to have on the bench, for ordering. */
export function renderPartsCsv({ parts }: Plan): string {
  return csvTable(
    ["part", "value", "count", "spare", "strips"],
    parts.map(({ what, value, count, spare, strips }) => [
      what,
      value,
      count,
      spare,
      strips.join(" "),
    ]),
  );
}
