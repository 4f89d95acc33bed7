import { findClosestStrip } from "../paths.js";
import type { DeskText } from "../schema.js";
import { expandStrips, parseCountOrStrips, type StripList } from "../strips.js";

import type { DeskFileIssue, Place } from "./fault.js";

/** Reads the strips of the desk, in physical order. */
export function readStrips(
  written: DeskText["strips"],
  faults: DeskFileIssue[],
): readonly string[] {
  const place = ["strips"];
  const list = typeof written === "string" ? parseCountOrStrips(written) : expandStrips(written);
  const names = collectNames(list, written, place, faults);
  if (names.length === 0 && list.faults.length === 0) {
    faults.push({ place, at: "value", message: `"strips" names no strip.` });
  }
  return names;
}

/** Reads a selection of the desk's strips. */
export function pickStrips(
  written: DeskText["strips"],
  known: readonly string[],
  place: Place,
  faults: DeskFileIssue[],
): readonly string[] {
  const list = expandStrips(typeof written === "string" ? written.split(",") : written);
  const names = collectNames(list, written, place, faults);
  for (const strip of names.filter((name) => !known.includes(name))) {
    const like = findClosestStrip(strip, known);
    faults.push({
      place,
      at: "value",
      message: `the desk has no strip ${strip}.`,
      hint: `${like === undefined ? "" : `Did you mean ${like}? `}Its strips run from ${known[0]} to ${known.at(-1)}.`,
    });
  }
  return names;
}

function collectNames(
  list: StripList,
  written: DeskText["strips"],
  place: Place,
  faults: DeskFileIssue[],
): readonly string[] {
  for (const { item, fault } of list.faults) {
    const at = typeof written === "string" ? place : [...place, item];
    faults.push({ place: at, at: "value", message: `${fault}.` });
  }
  return list.names;
}
