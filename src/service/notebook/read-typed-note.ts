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

/** A note as it was typed, its place read out of it. */
export interface TypedNote {
  readonly place: DeskPlace;
  /** To the letter: all of it, or what is behind a place that it began with. */
  readonly text: string;
  /** The text names no place that this desk has: it is kept for the desk at large. */
  readonly isPlaceUnknown?: true;
}

/**
 * Reads a note that may be of several strips: "5 and 7 hum", "3-6 dead", "7 scratchy, same on 9". Each
 * of them has a note with all the words.
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
 * Reads where a note belongs: the place is named first (`6`, `ch 6/mic`, `group 3`), or somewhere
 * in its words ("the fader on strip 4"). An input in the words is taken too: `6` "hum on mic".
 *
 * @param first the word or words before the text, as typed
 * @param text the rest, to the letter
 * @throws DeskroundError `usage` where no place of this desk is named; but a danger is kept for the
 *   desk at large rather than refused
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
    // "psu a …" says more than "psu".
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

/** A number or a path that is not one of this desk is a slip, and no place is looked for elsewhere. */
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
