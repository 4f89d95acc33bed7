import {
  type FoundPlace,
  findOtherStrips,
  findPlaceAtStart,
  findPlaceInText,
  findUnknownSection,
  type PlacesOfDesk,
} from "../../desk/find-place.js";
import { readPathWords } from "../../desk/path-words.js";
import { parsePlace } from "../../desk/place.js";
import type { DeskPlace } from "../../desk/types.js";
import { findDangers } from "../../diagnose/find-dangers.js";
import { findNotedInput } from "../../diagnose/notes/read-by-rules.js";
import { DeskroundError } from "../../errors.js";
import { formatList } from "../../text/format-list.js";

/** A typed note, with the place read from it. */
export interface TypedNote {
  readonly place: DeskPlace;
  /** Verbatim: the whole text, or the text after a place at the beginning. */
  readonly text: string;
  /** Set if the text names no place of this desk: it is noted for the desk as a whole. */
  readonly isPlaceUnknown?: true;
}

/**
 * Reads a note about one or several strips: "5 and 7 hum", "3-6 dead", "7 scratchy, same on 9".
 * Each strip gets a note with the whole text.
 *
 * @throws DeskroundError as {@link readTypedNote}
 * @example
 * readTypedNotes("5", "and 7 hum", desk).map(({ place }) => place.strip); // ["5", "7"]
 */
export function readTypedNotes(
  first: string,
  text: string,
  desk: PlacesOfDesk,
): readonly TypedNote[] {
  // "1, 2 and 4 hiss"
  const isOpen = /[,&+]$/.test(first) && text !== "";
  const listed = isOpen
    ? readListedStrips(`${first} ${text}`, "", desk)
    : readListedStrips(first, text, desk);
  if (listed !== undefined) return listed;
  const note = readTypedNote(first, text, desk);
  const { strip, input } = note.place;
  if (strip === undefined) return [note];
  const { strips, end } = findOtherStrips(strip, note.text, desk);
  const own = end === 0 ? note : { ...note, text: note.text.slice(end).replace(leadingMarks, "") };
  return [
    withInput(own, desk),
    ...strips.map((one) => {
      const hasInput = desk.paths.some((path) => path.strip === one && path.input === input);
      return withInput(
        {
          place: { strip: one, ...(hasInput && input !== undefined ? { input } : {}) },
          text: own.text,
        },
        desk,
      );
    }),
  ];
}

/** `5,7` and `3-6`, typed as one word. */
function readListedStrips(
  first: string,
  text: string,
  desk: PlacesOfDesk,
): readonly TypedNote[] | undefined {
  const [, head, rest] = /^\s*([^\s,&+–-]+)(\s*[,&+–-]\s*.+)$/u.exec(first) ?? [];
  if (head === undefined || rest === undefined) return undefined;
  if (desk.strips.some((name) => name === first.trim())) return undefined;
  const strip = findPlaceAtStart(head, desk)?.place.strip;
  if (strip === undefined) return undefined;
  const { strips, end } = findOtherStrips(strip, rest, desk);
  if (strips.length === 0 || end === 0) return undefined;
  const left = [rest.slice(end).replace(leadingMarks, ""), text]
    .filter((part) => part !== "")
    .join(" ");
  return [strip, ...strips].map((one) => withInput({ place: { strip: one }, text: left }, desk));
}

const leadingMarks = /^[\s:,;.–—-]+/u;

/**
 * Reads the place of a note: named first (`6`, `ch 6/mic`, `group 3`), or within its text ("the
 * fader on strip 4"). An input in the text counts too: `6` "hum on mic".
 *
 * @param first the word or words before the text, as typed
 *
 * @param text the rest, verbatim
 *
 * @throws DeskroundError `usage` if no place of this desk is named; but a danger is noted for the
 * desk as a whole rather than refused
 */
export function readTypedNote(first: string, text: string, desk: PlacesOfDesk): TypedNote {
  const whole = [first, text].filter((part) => part !== "").join(" ");
  const atStart = findPlaceAtStart(whole, desk);
  const behindStart = (found: FoundPlace) => ({
    place: found.place,
    text: whole.slice(found.end).replace(leadingMarks, ""),
  });
  try {
    const place = parsePlace(first, desk);
    // "psu a …" is more specific than "psu".
    const isMore = place.strip === undefined && (atStart?.end ?? 0) > first.length;
    return withInput(
      atStart !== undefined && isMore ? behindStart(atStart) : { place, text },
      desk,
    );
  } catch (error) {
    if (atStart !== undefined) return withInput(behindStart(atStart), desk);
    const turned = readTurnedPath(whole, desk);
    if (turned !== undefined) return turned;
    const inText = looksLikeStrip(first) ? undefined : findPlaceInText(whole, desk);
    if (inText !== undefined) return withInput({ place: inText.place, text: whole }, desk);
    if (error instanceof DeskroundError && findDangers(whole).length > 0) {
      return { place: {}, text: whole, isPlaceUnknown: true };
    }
    const unknown = findUnknownSection(whole, desk);
    if (unknown === undefined) throw error;
    throw new DeskroundError(
      "usage",
      `desk.yaml names no ${unknown.name} under \`places\`.`,
      `It names ${formatList(unknown.known)}; add it there, or write one of these.`,
    );
  }
}

/** A note that begins with `mic 7`. */
function readTurnedPath(text: string, { paths }: PlacesOfDesk): TypedNote | undefined {
  const [, first, rest] = /^(\S+\s+\S+?)[:,;]?(?:\s+(.*))?$/su.exec(text) ?? [];
  const words = first === undefined ? undefined : readPathWords(first, paths);
  if (words?.kind !== "path") return undefined;
  const { strip, input } = words.path;
  return { place: { strip, input }, text: rest ?? "" };
}

/**
 * Whether a word is a number or path unknown to this desk: a typing error, so no place is looked
 * for in the text.
 */
function looksLikeStrip(text: string): boolean {
  return /^[#\s]*\d|^\S+\/\S+$/u.test(text);
}

function withInput(note: TypedNote, { paths }: PlacesOfDesk): TypedNote {
  const { strip, input } = note.place;
  if (strip === undefined || input !== undefined) return note;
  const own = paths.filter((path) => path.strip === strip).map((path) => path.input);
  const found = findNotedInput(note.text, own);
  return found === undefined ? note : { ...note, place: { ...note.place, input: found } };
}
