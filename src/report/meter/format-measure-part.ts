import type { NotedPart } from "../../diagnose/notes/find-part.js";
import { formatCommand } from "../../text/program-name.js";

/**
 * How to get a part onto the plan that a note only names, as a clause.
 *
 * @param place as `note meter` takes it
 * @example
 * formatMeasurePart("9", { name: "R7", what: "resistor" });
 * // "measure R7 and note the reading with its nominal value, `deskround note meter 9 resistor … --nominal … --part R7`, which puts it on the plan"
 */
export function formatMeasurePart(place: string, { name, what }: NotedPart): string {
  return `measure ${name} and note the reading with its nominal value, \`${formatCommand(`note meter ${place} ${what} … --nominal … --part ${name}`)}\`, which puts it on the plan`;
}
