import type { DeskAge } from "../construction.js";
import type { DeskText } from "../schema.js";
import type { DeskFileIssue } from "./fault.js";
import { pickStrips } from "./read-strips.js";

/** Reads the desk's age and renewals. */
export function readAge(
  { installed, recapped, powered, warmer }: NonNullable<DeskText["age"]>,
  strips: readonly string[],
  faults: DeskFileIssue[],
): DeskAge {
  return {
    ...(installed === undefined ? {} : { installed }),
    recapped: Object.entries(recapped).map(([year, some]) => ({
      year: Number(year),
      strips: pickStrips(some, strips, ["age", "recapped", year], faults),
    })),
    poweredHours: powered,
    warmerKelvin: warmer,
  };
}
