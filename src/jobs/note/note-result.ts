import { getDeskFolder } from "../../desk/desk-file.js";
import { findClosestWord } from "../../desk/paths.js";
import type { DangerId } from "../../diagnose/dangers.js";
import { maxNoteLength } from "../../diagnose/note-vocabulary.js";
import { DeskroundError } from "../../errors.js";
import { judgeMeter, type MeterLine, type MeterVerdict } from "../../service/meter/judge.js";
import type { NoteAnswer } from "../../service/notebook/answer-note.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { type findFeeds, listNoteDangers } from "../../service/notebook/open-dangers.js";
import type { Entry, Notebook } from "../../service/notebook/types.js";
import type { StockUse } from "../../service/stores/ledger.js";
import { formatCommand, getProgramName } from "../../text/program-name.js";
import type { NoteHead } from "../note-line.js";

/** What stands in the notebook now. */
export interface NoteResult {
  readonly entry: Entry;
  /** The same, noted of the other strips that the words name: "5 and 7 hum". */
  readonly others?: readonly Entry[];
  /** Of a fault that was just noted. */
  readonly answer?: NoteAnswer;
  /** What feeds its place, and what that feeds, as far as the desk file says so. */
  readonly fed?: ReturnType<typeof findFeeds>;
  /** No place of this desk was named, and a danger must not be lost for that. */
  readonly isPlaceUnknown?: true;
  /** Of work done: open notes of that place that it may have settled. */
  readonly mayClose?: readonly string[];
  /** Of a meter reading. */
  readonly verdict?: MeterVerdict;
  /** What it speaks of that can hurt somebody; absent where it speaks of nothing such. */
  readonly dangers?: readonly DangerId[];
  /** Rounds that the answer passed over, in words. */
  readonly skipped?: readonly string[];
  /** What a repair took out of the stores; absent where none are kept. */
  readonly taken?: readonly StockUse[];
  readonly notebook: Notebook;
}

/** Adds a line to the notebook. @throws DeskroundError `desk-file`, `notebook-file`, `cannot-write` */
export function writeNote(
  request: NoteHead,
  line: Parameters<typeof appendToNotebook>[1][number],
): NoteResult {
  const { ids, notebook } = appendToNotebook(getDeskFolder(request.desk), [line]);
  return describeNote(findEntry(ids[0], notebook), notebook);
}

/** A note with what is to be known beside it. */
export function describeNote(entry: Entry, notebook: Notebook): NoteResult {
  const found = listNoteDangers(entry);
  const dangers = found.length === 0 ? {} : { dangers: found };
  if (entry.line.kind !== "meter") return { entry, notebook, ...dangers };
  const others = notebook.entries.filter((other) => other !== entry && other.closed === undefined);
  return { entry, notebook, ...dangers, verdict: judgeMeter(entry.line as MeterLine, others) };
}

/** The note of an id, `12` for `n12` too. @throws DeskroundError `usage`: none has it */
export function findEntry(id: string, { entries, file }: Notebook): Entry {
  const wanted = id.trim().toLowerCase();
  const found = entries.find((entry) => entry.id === wanted || entry.id === `n${wanted}`);
  if (found !== undefined) return found;
  const like = findClosestWord(
    wanted,
    entries.map((entry) => entry.id),
  );
  throw new DeskroundError(
    "usage",
    entries.length === 0 ? `${file} holds no note yet.` : `No note "${id}" is in ${file}.`,
    `${/^\d+(?:\/\S+)?$/.test(wanted) ? `\`${formatCommand(`note list ${wanted}`)}\` lists those of strip ${wanted}. ` : ""}${like === undefined ? "" : `Did you mean ${like}? `}\`${formatCommand("note list --all")}\` lists them.`,
  );
}

/** Kept to the letter; only what could never be read again is refused. */
export function parseNoteText(text: string): string {
  if (text.length <= maxNoteLength) return text;
  throw new DeskroundError(
    "usage",
    `The note has ${text.length} characters, more than the ${maxNoteLength} allowed.`,
    "Keep long texts in files of their own and note the file's name.",
  );
}

/**
 * A word of a list, as it is written there.
 *
 * @param what how the list is called in messages
 * @throws DeskroundError `usage`
 */
export function parseListedWord(
  text: string | undefined,
  words: readonly string[],
  what: string,
): string | undefined {
  if (text === undefined) return undefined;
  const wanted = text
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, "-");
  if (words.includes(wanted)) return wanted;
  const like = findClosestWord(wanted, words);
  throw new DeskroundError(
    "usage",
    `"${text}" is not on the list of ${what}s.`,
    like === undefined
      ? `The list: ${words.join(", ")}. Anything else goes into the text.`
      : `Did you mean ${like}? \`${getProgramName()} note add --help\` has the list; anything else goes into the text.`,
  );
}
