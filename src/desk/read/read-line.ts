import { collapseSpace } from "../../text/collapse-space.js";
import { validateInputName, validateLine } from "../names.js";
import type { DeskFileIssue, Place } from "./fault.js";

/** Names of stages, parts and the desk itself are no longer than this. */
export const longestName = 60;
export const longestSetup = 400;
export const longestPlug = 60;

/** A text on one line; one that is too long or cannot be printed goes to `faults`. */
export function readLine(
  text: string,
  maxLength: number,
  place: Place,
  faults: DeskFileIssue[],
): string {
  const line = collapseSpace(text);
  const fault = validateLine(line, maxLength);
  if (fault !== undefined) {
    faults.push({ place, at: "value", message: `"${String(place.at(-1))}" ${fault}.` });
  }
  return line;
}

/** Sees that the last key of a place can be the name of an input or a family. */
export function checkName(place: readonly string[], faults: DeskFileIssue[]): void {
  const name = String(place.at(-1));
  const fault = validateInputName(name.normalize("NFC"));
  if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
}
