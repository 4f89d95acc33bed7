import { formatPlace } from "../../desk/place.js";
import type { Entry } from "../../service/notebook/types.js";
import { formatCommand } from "../../text/program-name.js";

/** That a note is about a place that the desk file does not have. */
export function formatStranger({ id, line }: Pick<Entry, "id" | "line">): string {
  return `Note ${id} is about ${formatPlace(line)}, which the desk file does not have, so the plan lists it apart. Move it: ${formatCommand(`note correct ${id} --place STRIP`)}`;
}

/** That photos are named which are not there. */
export function formatMissingPhotos(files: readonly string[]): string {
  return `strip-down.yaml names photos that are not there: ${files.join(", ")}.`;
}

/** What a re-test is of. */
export interface RetestOf {
  readonly touched: readonly string[];
  readonly neighbours: readonly string[];
  /** The round whose levels it uses. */
  readonly against: string;
}

/** What a re-test is of, above its run sheet. */
export function formatRetestOf({ touched, neighbours, against }: RetestOf): string {
  return `Touched: ${touched.join(", ") || "no strip"}; beside them: ${neighbours.join(", ") || "none"}. Levels as in round ${against}.`;
}

/**
 * That electrolytics were replaced.
 *
 * @param strip undefined for all strips
 * @param day YYYY-MM-DD
 */
export function formatRecapped(strip: string | undefined, day: string): string {
  return `The electrolytics of ${strip === undefined ? "all strips" : `strip ${strip}`} count as of ${day}.`;
}
