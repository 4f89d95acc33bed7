import { DeskroundError } from "../errors.js";
import { findPlaceAtStart, type PlacesOfDesk } from "./find-place.js";
import { normalizeName } from "./names.js";
import { type NamedPath, readPathWords, splitPathWords } from "./path-words.js";
import { createUnknownPathError, findClosestStrip } from "./paths.js";
import { sectionWords } from "./section-kinds.js";
import type { DeskPlace } from "./types.js";

export type { DeskPlace } from "./types.js";

/** The word for the desk as a whole, unless a strip has that name. */
export const wholeDesk = "desk";

/**
 * Finds the place that a text such as `6`, `6/mic`, `group 3`, `psu` or `desk` names; case does not
 * matter.
 *
 * @throws DeskroundError `usage`, naming the part that is unknown and the nearest known name
 */
export function parsePlace(text: string, desk: PlacesOfDesk): DeskPlace {
  const wanted = text.trim();
  const words = readPathWords(wanted, listPlacePaths(desk));
  if (words?.kind === "strip") return { strip: words.strip };
  if (words?.kind === "path") {
    const { strip, input } = words.path;
    return { strip, input };
  }
  if (normalizeName(wanted) === wholeDesk) return {};
  const found = findPlaceAtStart(wanted, desk);
  if (found !== undefined && wanted.slice(found.end).trim() === "") return found.place;
  const unknown = createUnknownPathError(wanted, desk.paths);
  const { strip } = splitPathWords(wanted);
  if (strip !== undefined && desk.paths.length > 0 && desk.strips.length > 0) {
    throw isKnownStrip(strip, desk)
      ? unknown
      : new DeskroundError(
          "usage",
          `This desk has no strip "${strip}".`,
          stripHint(strip, desk.strips),
        );
  }
  const examples = `Write a strip (${desk.strips[0]}), an input of one (${desk.paths[0]?.path}), a section (${listSections(desk)}) or \`desk\`.`;
  throw new DeskroundError(
    "usage",
    `This desk has no strip "${wanted}".`,
    `${stripHint(wanted, desk.strips)} ${examples}`,
  );
}

/**
 * The place that a text begins with, and the rest: `mic 7 bottom cover`.
 *
 * @throws DeskroundError `usage` as {@link parsePlace}, about the first word
 */
export function splitPlace(
  text: string,
  desk: PlacesOfDesk,
): { readonly place: DeskPlace; readonly rest: string } {
  const words = text.trim().split(/\s+/);
  const behind = (count: number) => words.slice(count).join(" ");
  const first = readPlace(words[0], desk);
  if (first !== undefined) return { place: first, rest: behind(1) };
  const [two, three] = [2, 3].map((count) => readPlace(words.slice(0, count).join(" "), desk));
  // In "group 2 bus board" the bus belongs to the board.
  if (two !== undefined && (three === undefined || formatPlace(two) === formatPlace(three))) {
    return { place: two, rest: behind(2) };
  }
  if (three !== undefined) return { place: three, rest: behind(3) };
  return { place: parsePlace(words[0], desk), rest: behind(1) };
}

function readPlace(text: string, desk: PlacesOfDesk): DeskPlace | undefined {
  try {
    return parsePlace(text, desk);
  } catch (error) {
    if (error instanceof DeskroundError) return undefined;
    throw error;
  }
}

/** The desk's paths; strips without paths get one without a name. */
function listPlacePaths({ strips, paths }: PlacesOfDesk): readonly NamedPath[] {
  const known = new Set(paths.map(({ strip }) => strip));
  const bare = strips.filter((strip) => !known.has(strip));
  return [...paths, ...bare.map((strip) => ({ path: `${strip}/`, strip, input: "\0" }))];
}

function isKnownStrip(text: string, desk: PlacesOfDesk): boolean {
  return readPathWords(text, listPlacePaths(desk))?.kind === "strip";
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

/** Only the keys of a place. */
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
  const like = findClosestStrip(text, strips);
  const range = `Its strips run from ${strips[0]} to ${strips.at(-1)}.`;
  return like === undefined ? range : `Did you mean ${like}? ${range}`;
}
