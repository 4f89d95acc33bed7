import { DeskroundError } from "../errors.js";
import { findPlaceAtStart, type PlacesOfDesk } from "./find-place.js";
import { normalizeName } from "./names.js";
import { findClosestWord } from "./paths.js";
import { sectionWords } from "./section-kinds.js";
import type { DeskPlace } from "./types.js";

export type { DeskPlace } from "./types.js";

/** What stands for the desk at large, unless a strip bears that name. */
export const wholeDesk = "desk";

/**
 * Finds the place that a text such as `6`, `6/mic`, `group 3`, `psu` or `desk` names; capitals do
 * not matter.
 *
 * @throws DeskroundError `usage`, naming the part that is unknown and the nearest known name
 */
export function parsePlace(text: string, desk: PlacesOfDesk): DeskPlace {
  const wanted = text.trim();
  const slash = wanted.indexOf("/");
  const stripText = slash < 0 ? wanted : wanted.slice(0, slash);
  const strip = desk.strips.find((name) => normalizeName(name) === normalizeName(stripText));
  if (strip === undefined) {
    if (normalizeName(wanted) === wholeDesk) return {};
    const found = findPlaceAtStart(wanted, desk);
    if (found !== undefined && wanted.slice(found.end).trim() === "") return found.place;
    throw new DeskroundError(
      "usage",
      `This desk has no strip "${stripText}".`,
      `${stripHint(stripText, desk.strips)} Write a strip (6), an input of one (6/mic), a section (${listSections(desk)}) or \`desk\`.`,
    );
  }
  if (slash < 0) return { strip };
  const inputText = wanted.slice(slash + 1);
  const own = desk.paths.filter((path) => path.strip === strip).map(({ input }) => input);
  const input = own.find((name) => normalizeName(name) === normalizeName(inputText));
  if (input !== undefined) return { strip, input };
  const like = findClosestWord(inputText, own);
  throw new DeskroundError(
    "usage",
    `Strip ${strip} has no input "${inputText}".`,
    like === undefined ? `Its inputs: ${own.join(", ")}.` : `Did you mean ${strip}/${like}?`,
  );
}

/** `6/mic`, `6`, `group 3`, or `desk`. */
export function formatPlace({ strip, input, section }: DeskPlace): string {
  if (strip === undefined) return section ?? wholeDesk;
  return input === undefined ? strip : `${strip}/${input}`;
}

/** The same in a sentence: "strip 6/mic", "group 3", "the desk". */
export function formatPlaceWords(place: DeskPlace): string {
  if (place.strip !== undefined) return `strip ${formatPlace(place)}`;
  return place.section === undefined ? "the desk" : formatSectionWords(place.section);
}

/** "the master", "group 3", "PSU A". */
export function formatSectionWords(section: string): string {
  return sectionWords.some(({ name }) => name === section) ? `the ${section}` : section;
}

/** Whether two places are the same, or the second is an input of the first. */
export function isWithinPlace(place: DeskPlace, outer: DeskPlace): boolean {
  if (outer.strip === undefined && outer.section === undefined) return true;
  if (outer.section !== undefined) return place.section === outer.section;
  return place.strip === outer.strip && (outer.input === undefined || place.input === outer.input);
}

/** The keys of a place alone, of whatever has them. */
export function pickPlace({ strip, input, section, sectionKind }: DeskPlace): DeskPlace {
  return {
    ...(strip === undefined ? {} : { strip }),
    ...(input === undefined ? {} : { input }),
    ...(section === undefined ? {} : { section }),
    ...(sectionKind === undefined ? {} : { sectionKind }),
  };
}

function listSections({ sections }: PlacesOfDesk): string {
  if (sections.length === 0) return "group 3, master, psu";
  return sections
    .slice(0, 6)
    .map(({ name }) => name)
    .join(", ");
}

function stripHint(text: string, strips: readonly string[]): string {
  const like = findClosestWord(text, strips);
  const range = `Its strips run from ${strips[0]} to ${strips.at(-1)}.`;
  return like === undefined ? range : `Did you mean ${like}? ${range}`;
}
