import { createSpeller } from "../text/create-speller.js";
import { formatNumberWords } from "../text/number-words.js";
import { normalizeName } from "./names.js";
import { stripWords } from "./path-words.js";
import { type SectionKind, sectionWords, wholeDeskWords } from "./section-kinds.js";
import type { Desk, DeskPlace } from "./types.js";

export type PlacesOfDesk = Pick<Desk, "strips" | "paths" | "sections">;

/** A place named in a text, and its position there. */
export interface FoundPlace {
  readonly place: DeskPlace;
  readonly start: number;
  readonly end: number;
}

/** Units after a number that show it is not a strip: 10 dB, 2 weeks. */
const unit =
  "(?:\\s*(?:db[a-z]*|k?hz|volts?|v|ma|ohms?|k|%|°c?|ms|mm|years?|yrs?|months?|weeks?|days?|hours?|hrs?|minutes?|mins?|seconds?|secs?|times|bands?|pins?|way|pole|segments?|leds|strips|channels|o'?clock|pm|am|x)(?![\\p{L}\\p{N}]))";
const after = `(?![\\p{L}\\p{N}/])(?!${unit})(?![.,:]\\d)(?!-? ?(?:bus|buss|mix)(?![\\p{L}]))`;
/** Words that a strip's number may follow: fader 16. */
const ownedWords = "fader|solo|mute|gain|pan|eq|trim|phantom|pad|meter|insert|direct out";

/**
 * The place that a text begins with, as people write it: `6`, `6/mic`, `ch 6`, `grp 3`, `the
 * master`, `PSU A`, `desk`.
 *
 * @returns undefined if it begins with none
 */
export function findPlaceAtStart(text: string, desk: PlacesOfDesk): FoundPlace | undefined {
  const named = findSectionAtStart(text, desk, "named");
  if (named !== undefined) return named;
  const behind = formatEndOfStrip(desk);
  const word = `(?:(?:${stripWords})(?![\\p{L}])[\\s.#:-]*|#\\s*)`;
  const strip =
    matchStrip(
      new RegExp(`^\\s*(?:the\\s+)?${word}?(?<strip>${stripNames(desk)})${behind}`, "iu"),
      text,
      desk,
    ) ??
    matchStrip(
      new RegExp(`^\\s*(?:the\\s+)?${word}(?<strip>${spelledNames(desk)})${behind}`, "iu"),
      text,
      desk,
    ) ??
    matchStrip(
      new RegExp(`^\\s*(?!one[ ,])(?<strip>${spelledNames(desk)})${behind}${notSeveral}`, "iu"),
      text,
      desk,
    );
  if (strip !== undefined) return strip;
  return findSectionAtStart(text, desk, "usual");
}

/**
 * The place that a text names anywhere: a strip before a section.
 *
 * @returns undefined if it names none
 */
export function findPlaceInText(text: string, desk: PlacesOfDesk): FoundPlace | undefined {
  const names = stripNames(desk);
  const behind = formatEndOfStrip(desk);
  const spelled = `(?:${names}|${spelledNames(desk)})`;
  const patterns = [
    `(?<![\\p{L}\\p{N}])(?:(?:strip|channel|chan|chnl|ch|module|track)s?(?![\\p{L}])[\\s.#:-]*|#\\s*)(?<strip>${spelled})${behind}`,
    `(?<![\\p{L}\\p{N}.,])(?<strip>${names})(?=\\s*/\\s*\\p{L})${behind}`,
    `(?<![\\p{L}\\p{N}])(?:on|of|from|in|at|off|for)\\s+(?:no\\.?\\s+|number\\s+)?(?<strip>${names})${behind}`,
    `(?<![\\p{L}\\p{N}])(?:${ownedWords})s?\\s+(?:on\\s+)?(?<strip>${names})${behind}`,
  ];
  for (const pattern of patterns) {
    const found = matchStrip(new RegExp(pattern, "iu"), text, desk);
    if (found !== undefined) return found;
  }
  for (const { index } of text.matchAll(/(?<![\p{L}\p{N}])[\p{L}\p{N}]/gu)) {
    const found = findSectionAtStart(text.slice(index), desk, "any");
    if (found === undefined) continue;
    return { ...found, start: found.start + index, end: found.end + index };
  }
  return undefined;
}

/**
 * Other strips that a text names beside the one that it begins with: "5 and 7 hum", "3-6 dead", and
 * "same on 9" anywhere.
 *
 * @param strip that it begins with
 * @param rest the text after that
 * @returns the others in the text's order, and where the list at the start of `rest` ends
 */
export function findOtherStrips(
  strip: string,
  rest: string,
  desk: PlacesOfDesk,
): { readonly strips: readonly string[]; readonly end: number } {
  const names = `${stripNames(desk)}|${spelledNames(desk)}`;
  const word = `(?:(?:${stripWords})(?![\\p{L}])[\\s.#:-]*|#\\s*)?`;
  const others: string[] = [];
  let end = 0;
  let last = strip;
  const next = new RegExp(
    `^\\s*(?<join>,\\s*and|,|and|&|\\+|/|-|–|to|thru|through|till|both)\\s*${word}(?<strip>${names})${after}(?![-–]\\d)`,
    "iu",
  );
  for (;;) {
    const match = next.exec(rest.slice(end));
    const { join = "", strip: written = "" } = match?.groups ?? {};
    const found = desk.strips.find((name) => isNamed(name, written));
    if (match === null || found === undefined || found === last) break;
    const isRange = /^(?:-|–|to|thru|through|till)$/i.test(join);
    const [from, to] = [desk.strips.indexOf(last), desk.strips.indexOf(found)];
    if (isRange && to <= from) break;
    others.push(...(isRange ? desk.strips.slice(from + 1, to + 1) : [found]));
    last = found;
    end += match[0].length;
  }
  const same = new RegExp(
    `(?<![\\p{L}\\p{N}])(?:(?:same|ditto|likewise|also|as well)(?: (?:thing|fault|problem|again|story|here))?(?: (?:on|with|for|at|in|goes for|is true of|happens on))+|(?:so|as) (?:is|does|has)|ditto)\\s+${word}(?<strip>${names})${after}|(?:,|;|\\band)\\s*${word}(?<too>${names}) (?:too|as well|also|likewise|the same|same|ditto)(?![\\p{L}])`,
    "giu",
  );
  for (const match of rest.matchAll(same)) {
    const written = match.groups?.strip ?? match.groups?.too ?? "";
    const found = desk.strips.find((name) => isNamed(name, written));
    if (found === undefined) continue;
    others.push(found);
    const more = findOtherStrips(found, rest.slice(match.index + match[0].length), desk);
    others.push(...more.strips);
  }
  return { strips: [...new Set(others)].filter((one) => one !== strip), end };
}

function formatEndOfStrip({ paths }: PlacesOfDesk): string {
  const inputs = [...new Set(paths.map(({ input }) => input))].map(escapeName).join("|");
  return `(?:\\s*/\\s*(?<input>${inputs === "" ? "(?!)" : inputs})(?![\\p{L}\\p{N}]))?${after}`;
}

function stripNames({ strips }: PlacesOfDesk): string {
  return [...strips]
    .sort((a, b) => b.length - a.length)
    .map(escapeName)
    .join("|");
}

/** Words after a spelt number that show it is a count, not a strip: "two faders", "ten minutes". */
const notSeveral =
  "(?!\\s+(?:of|or|more|people|guys|different|new|old|other|faders|pots|knobs|buttons|switches|lamps|leds|lights|mics|inputs|sends|meters|sockets|jacks|cables|leads|things|faults|problems|bulbs|screws|inserts|returns|groups|buses|strips|channels|modules|points?)(?![\\p{L}]))";

/** Names of strips that are numbers, spelt out. */
function spelledNames({ strips }: PlacesOfDesk): string {
  const words = strips.flatMap((name) => formatNumberWords(toNumber(name)) ?? []);
  return words.length === 0
    ? "(?!)"
    : [...words]
        .sort((a, b) => b.length - a.length)
        .map((spelt) => spelt.replace(" ", "[ -]?"))
        .join("|");
}

function toNumber(name: string): number {
  return /^0*\d{1,2}$/.test(name) ? Number(name) : Number.NaN;
}

function isNamed(name: string, written: string): boolean {
  if (normalizeName(name) === normalizeName(written)) return true;
  const spelt = formatNumberWords(toNumber(name))?.replace(" ", "");
  return spelt !== undefined && spelt === written.toLowerCase().replace(/[ -]/g, "");
}

function matchStrip(pattern: RegExp, text: string, desk: PlacesOfDesk): FoundPlace | undefined {
  const match = pattern.exec(text);
  if (match === null) return undefined;
  const { strip: written = "", input: own } = match.groups ?? {};
  const strip = desk.strips.find((name) => isNamed(name, written));
  if (strip === undefined) return undefined;
  const input =
    own === undefined
      ? undefined
      : desk.paths.find(
          (path) => path.strip === strip && normalizeName(path.input) === normalizeName(own),
        )?.input;
  if (own !== undefined && input === undefined) return undefined;
  return {
    place: { strip, ...(input === undefined ? {} : { input }) },
    start: match.index,
    end: match.index + match[0].length,
  };
}

/** Sections that the desk file names, those every desk may have, or both. */
function findSectionAtStart(
  text: string,
  desk: PlacesOfDesk,
  which: "named" | "usual" | "any",
): FoundPlace | undefined {
  const words = listWordsOf(text);
  if (words.length === 0) return undefined;
  const article = words[0].is === "the" ? 1 : 0;
  if (which !== "usual") {
    const named = findNamed(words.slice(article), desk);
    if (named !== undefined) return { ...named, start: words[article].start };
  }
  return which === "named" ? undefined : findUsual(words.slice(article), desk);
}

interface Word {
  readonly is: string;
  readonly start: number;
  readonly end: number;
}

const mostWords = 6;
let speller: ((word: string) => string) | undefined;

/**
 * The first words of a text, in lower case, letters and digits separated, typing errors corrected.
 */
function listWordsOf(text: string): readonly Word[] {
  speller ??= createSpeller(
    sectionWords.flatMap(({ numbered = "", alone }) => listSpellings(`${numbered}|${alone}`)),
    ["mister", "muster", "grows", "grown", "ground", "returned", "stuff", "bust", "must", "best"],
  );
  const spell = speller;
  const words: Word[] = [];
  for (const match of text.matchAll(/\p{L}+|\d+|[^\s\p{L}\d]/gu)) {
    if (words.length >= mostWords) break;
    const [is] = match;
    if (/^[-.#:]$/.test(is)) continue;
    words.push({
      is: /^\p{L}/u.test(is) ? spell(is.toLowerCase()) : is,
      start: match.index,
      end: match.index + is.length,
    });
  }
  return words;
}

/** The words of a pattern; those with an `s?` in both forms. */
function listSpellings(pattern: string): readonly string[] {
  const words = pattern.match(/[a-z]+\??/g) ?? [];
  return words.flatMap((word) =>
    word.endsWith("?") ? [word.slice(0, -1), word.slice(0, -2)] : [word],
  );
}

function findNamed(words: readonly Word[], { sections }: PlacesOfDesk): FoundPlace | undefined {
  const byLength = [...sections].sort((a, b) => b.name.length - a.name.length);
  for (const { name, kind } of byLength) {
    const own = normalizeName(name).match(/\p{L}+|\d+|[^\s\p{L}\d.#:-]/gu) ?? [];
    if (own.length === 0 || !own.every((part, k) => words[k]?.is === part)) continue;
    // "psu a bit noisy" does not mean "PSU A": after the article "a" comes another word.
    return {
      place: { section: name, sectionKind: kind },
      start: 0,
      end: words[own.length - 1].end,
    };
  }
  return undefined;
}

const usual = sectionWords.map(({ numbered, alone, ...row }) => ({
  ...row,
  numbered:
    numbered === undefined
      ? undefined
      : new RegExp(`^(?:${numbered}) (\\d{1,2})(?: (?:master|send|bus))?(?= |$)`),
  alone: new RegExp(`^(?:${alone})(?= |$)`),
}));
const whole = new RegExp(`^(?:${wholeDeskWords})(?= |$)`);

function findUsual(words: readonly Word[], desk: PlacesOfDesk): FoundPlace | undefined {
  const text = words.map(({ is }) => is).join(" ");
  for (const { kind, name, numbered, alone } of usual) {
    const match = numbered?.exec(text) ?? undefined;
    const plain = match ?? alone.exec(text);
    if (plain === null || plain === undefined) continue;
    const number = match?.[1];
    const section = chooseSection(kind, name, number, desk);
    if (section === undefined) continue;
    return { place: section, start: words[0].start, end: endOf(plain[0], words) };
  }
  const match = whole.exec(text);
  return match === null
    ? undefined
    : { place: {}, start: words[0].start, end: endOf(match[0], words) };
}

/**
 * For a text that begins with a numbered section missing in the desk file, that section and the
 * existing ones of its kind: "group 9" on a desk with eight.
 */
export function findUnknownSection(
  text: string,
  desk: PlacesOfDesk,
): { readonly name: string; readonly known: readonly string[] } | undefined {
  const words = listWordsOf(text)
    .map(({ is }) => is)
    .join(" ");
  for (const { kind, name, numbered } of usual) {
    const number = numbered?.exec(words)?.[1];
    if (number === undefined || chooseSection(kind, name, number, desk) !== undefined) continue;
    const known = desk.sections.filter((one) => one.kind === kind).map((one) => one.name);
    return { name: `${name} ${number}`, known };
  }
  return undefined;
}

function endOf(matched: string, words: readonly Word[]): number {
  return words[matched.split(" ").length - 1].end;
}

/** The section for a kind and a number: one of the desk file, if it names any of that kind. */
function chooseSection(
  kind: SectionKind,
  name: string,
  number: string | undefined,
  { sections }: PlacesOfDesk,
): DeskPlace | undefined {
  const own = sections.filter((one) => one.kind === kind);
  const usualName = number === undefined ? name : `${name} ${number}`;
  if (own.length === 0 || kind === "other") return { section: usualName, sectionKind: kind };
  if (number === undefined) {
    return { section: own.length === 1 ? own[0].name : name, sectionKind: kind };
  }
  const found = own.find((one) => new RegExp(`(?<!\\d)0*${number}$`).test(one.name));
  return found && { section: found.name, sectionKind: kind };
}

function escapeName(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
}
