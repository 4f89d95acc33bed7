import { collapseSpace } from "../../text/collapse-space.js";
import { validateInputName, validateLine } from "../names.js";
import type { DeskFileIssue, Place } from "./fault.js";

/** Characters; for names of stages, parts and the desk. */
export const longestName = 60;
export const longestSetup = 400;
export const longestPlug = 60;

/** Reads a text on one line; if too long or unprintable, it is added to `faults`. */
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

/** Checks that the last key of a place can be the name of an input or a family. */
export function checkName(place: readonly string[], faults: DeskFileIssue[]): void {
  const name = String(place.at(-1));
  const fault = validateInputName(name.normalize("NFC"));
  if (fault !== undefined) faults.push({ place, at: "key", message: `"${name}": ${fault}.` });
}
