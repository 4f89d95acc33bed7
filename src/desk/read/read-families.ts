import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";
import { checkName } from "./read-line.js";
import { pickStrips } from "./read-strips.js";

/** Reads families, name to strips; a strip can be in only one. */
export function readFamilies(
  families: DeskText["families"],
  known: readonly string[],
  faults: DeskFileIssue[],
): ReadonlyMap<string, readonly string[]> {
  const groups = new Map<string, readonly string[]>();
  const owner = new Map<string, string>();
  for (const [group, written] of Object.entries(families)) {
    const place = ["families", group];
    checkName(place, faults);
    const strips = pickStrips(written, known, place, faults);
    for (const strip of strips) {
      const earlier = owner.get(strip);
      if (earlier !== undefined) {
        faults.push({
          place,
          at: "value",
          message: `strip ${strip} is in two families, ${earlier} and ${group}.`,
          hint: "A strip can have only one set of siblings: remove it from one of them.",
        });
      }
      owner.set(strip, group);
    }
    groups.set(group.normalize("NFC"), strips);
  }
  return groups;
}
