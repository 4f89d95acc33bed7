import { formatPlace } from "../../desk/place.js";
import type { Entry } from "../../service/notebook/types.js";
import { formatCommand } from "../../text/program-name.js";

/** Says that a note is about a place that is not in the desk file. */
export function formatStranger({ id, line }: Pick<Entry, "id" | "line">): string {
  return `Note ${id} is about ${formatPlace(line)}, which is not in the desk file, so the plan lists it separately. Correct the place: ${formatCommand(`note correct ${id} --place STRIP`)}`;
}

/** Says that photos are missing. */
export function formatMissingPhotos(files: readonly string[]): string {
  return `strip-down.yaml names photos that do not exist: ${files.join(", ")}.`;
}

/** What a re-test covers. */
export interface RetestOf {
  readonly touched: readonly string[];
  readonly neighbours: readonly string[];
  /** The round whose levels it uses. */
  readonly against: string;
}

/** The line above the run sheet of a re-test: what it covers. */
export function formatRetestOf({ touched, neighbours, against }: RetestOf): string {
  return `Worked on: ${touched.join(", ") || "no strip"}; beside them: ${neighbours.join(", ") || "none"}. Levels as in round ${against}.`;
}

/**
 * Says that electrolytics were replaced.
 *
 * @param strip undefined for all strips
 * @param day YYYY-MM-DD
 */
export function formatRecapped(strip: string | undefined, day: string): string {
  return `The electrolytics of ${strip === undefined ? "all strips" : `strip ${strip}`} count as new from ${day}.`;
}
