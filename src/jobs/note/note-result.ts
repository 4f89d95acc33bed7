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

/** A note as now stored in the notebook. */
export interface NoteResult {
  readonly entry: Entry;
  /** The same note for further strips that the text names: "5 and 7 hum". */
  readonly others?: readonly Entry[];
  /** Set for a fault that was just noted. */
  readonly answer?: NoteAnswer;
  /** What feeds the place and what the place feeds, as far as the desk file says. */
  readonly fed?: ReturnType<typeof findFeeds>;
  /** Set if no place of this desk was named; the note is kept because it mentions a danger. */
  readonly isPlaceUnknown?: true;
  /** For work done: open notes of that place that it may have fixed. */
  readonly mayClose?: readonly string[];
  /** Set for a meter reading. */
  readonly verdict?: MeterVerdict;
  /** Dangers to people that the text mentions; absent if none. */
  readonly dangers?: readonly DangerId[];
  /** Rounds that were skipped for the answer, in words. */
  readonly skipped?: readonly string[];
  /** Parts that a repair used from the stores; absent if no stores are kept. */
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

/** A note with its dangers and, for a meter reading, its verdict. */
export function describeNote(entry: Entry, notebook: Notebook): NoteResult {
  const found = listNoteDangers(entry);
  const dangers = found.length === 0 ? {} : { dangers: found };
  if (entry.line.kind !== "meter") return { entry, notebook, ...dangers };
  const others = notebook.entries.filter((other) => other !== entry && other.closed === undefined);
  return { entry, notebook, ...dangers, verdict: judgeMeter(entry.line as MeterLine, others) };
}

/** The note of an id, `12` for `n12` too. @throws DeskroundError `usage`: no note has it */
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

/** The text is stored verbatim; only text too long to be read back is refused. */
export function parseNoteText(text: string): string {
  if (text.length <= maxNoteLength) return text;
  throw new DeskroundError(
    "usage",
    `The note has ${text.length} characters, more than the ${maxNoteLength} allowed.`,
    "Keep long texts in files of their own and note the file's name.",
  );
}

/**
 * Finds a word in a list, and returns it as spelt there.
 *
 * @param what name of the list in messages
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
