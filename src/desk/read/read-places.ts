import { normalizeName } from "../names.js";
import type { DeskText } from "../schema.js";
import type { DeskSection } from "../section-kinds.js";
import { expandStrips } from "../strips.js";
import { didYouMean } from "./did-you-mean.js";
import type { DeskFileIssue } from "./fault.js";
import { readLine } from "./read-line.js";

/** More sections than any desk has. */
const mostSections = 512;
/** Characters; they must fit a column of the list of notes. */
const longestSection = 24;
/** `group 1-8`: a name and a range. */
const rangePattern = /^(?<name>.*\S\s+|)(?<from>\d{1,3})\s*-\s*(?<to>\d{1,3})$/u;

/** Reads the desk's sections; a range in a name means one section each. */
export function readPlaces(
  written: DeskText["places"],
  strips: readonly string[],
  faults: DeskFileIssue[],
): readonly DeskSection[] {
  const sections: DeskSection[] = [];
  const places: (readonly PropertyKey[])[] = [];
  for (const [key, one] of Object.entries(written)) {
    const place = ["places", key];
    const kind = typeof one === "string" ? one : one.kind;
    for (const name of expandNames(key, place, faults)) {
      const earlier = sections.find((other) => normalizeName(other.name) === normalizeName(name));
      const strip = strips.find((other) => normalizeName(other) === normalizeName(name));
      if (earlier !== undefined || strip !== undefined || normalizeName(name) === "desk") {
        const what = earlier !== undefined ? "a place" : strip !== undefined ? "a strip" : "all";
        faults.push({ place, at: "key", message: `"${name}" is the name of ${what} already.` });
        continue;
      }
      sections.push({ name, kind });
      places.push(place);
    }
  }
  if (sections.length > mostSections) {
    const message = `${sections.length} places are more than the ${mostSections} allowed.`;
    faults.push({ place: ["places"], at: "value", message });
    return [];
  }
  return sections.map((section, k): DeskSection => {
    const one = written[String(places[k][1])];
    if (typeof one === "string" || one.feeds === undefined) return section;
    return {
      ...section,
      feeds: readFeeds(one.feeds, [...places[k], "feeds"], strips, sections, faults),
    };
  });
}

function expandNames(
  key: string,
  place: readonly PropertyKey[],
  faults: DeskFileIssue[],
): readonly string[] {
  const text = readLine(key, 60, place, faults);
  const range = rangePattern.exec(text)?.groups;
  const from = Number(range?.from);
  const to = Number(range?.to);
  const names =
    range === undefined
      ? [text]
      : Array.from({ length: Math.max(0, Math.min(to - from + 1, mostSections + 1)) }, (_, k) =>
          `${range.name}${from + k}`.trim(),
        );
  const bad =
    names.length === 0
      ? "the range holds none"
      : names.some((name) => name.length > longestSection)
        ? `the name is longer than ${longestSection} characters`
        : /^[\d/]/.test(text) || text.includes("/") || text === ""
          ? "a name begins with a letter and has no /, so that it is not taken for a strip"
          : undefined;
  if (bad === undefined) return names;
  faults.push({ place, at: "key", message: `"${key}": ${bad}.` });
  return [];
}

/** Reads strips and sections by name or range; duplicates count once. */
function readFeeds(
  written: string | readonly string[],
  place: readonly PropertyKey[],
  strips: readonly string[],
  sections: readonly DeskSection[],
  faults: DeskFileIssue[],
): readonly string[] {
  const texts = typeof written === "string" ? written.split(",") : written;
  const known = [...strips, ...sections.map(({ name }) => name)];
  const find = (text: string) =>
    known.find((name) => normalizeName(name) === normalizeName(text.trim()));
  const fed = texts.flatMap((text, item) => {
    const range = rangePattern.exec(text.trim())?.groups;
    const isOfSections = range !== undefined && range.name !== "";
    const names = isOfSections
      ? expandNames(text, place, faults)
      : find(text) !== undefined
        ? [text]
        : expandStrips([text]).names;
    const list = names.length === 0 ? [text] : names;
    return list.flatMap((name) => {
      const found = find(name);
      if (found !== undefined) return [found];
      const at = typeof written === "string" ? place : [...place, item];
      faults.push({
        place: at,
        at: "value",
        message: `the desk has no strip or place "${name.trim()}".`,
        hint: didYouMean(name.trim(), known),
      });
      return [];
    });
  });
  return [...new Set(fed)];
}
