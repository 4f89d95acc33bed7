import { type Construction, defaultConstruction } from "../construction.js";
import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";
import { longestName, readLine } from "./read-line.js";
import { pickStrips } from "./read-strips.js";

/** Reads how the desk is built and how long its parts take; defaults if the file says nothing. */
export function readConstruction(
  text: DeskText["construction"],
  strips: readonly string[],
  faults: DeskFileIssue[],
): Construction {
  if (text === undefined) return defaultConstruction;
  const parts = Object.entries(text.parts).map(([name, { kind, minutes, strips: some }]) => {
    const place = ["construction", "parts", name];
    const own = new Set(
      some === undefined ? strips : pickStrips(some, strips, [...place, "strips"], faults),
    );
    return {
      name: readLine(name, longestName, place, faults),
      kind,
      minutes,
      strips: strips.filter((strip) => own.has(strip)),
    };
  });
  const values = Object.entries(text.values).map(([name, value]) => {
    const place = ["construction", "values", name];
    return [
      readLine(name, longestName, place, faults),
      readLine(value, longestName, place, faults),
    ];
  });
  return {
    openMinutes: text.open,
    pullMinutes: text.pull,
    parts,
    values: Object.fromEntries(values),
  };
}
