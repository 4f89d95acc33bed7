import { getDeskFolder } from "../../desk/desk-file.js";
import { formatPlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import { type Control, controls, type Symptom, symptoms } from "../../diagnose/note-vocabulary.js";
import { DeskroundError } from "../../errors.js";
import type { Round } from "../../history/types.js";
import { answerNote, type NoteAnswer } from "../../service/notebook/answer-note.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { findFeeds } from "../../service/notebook/open-dangers.js";
import { readTypedNotes } from "../../service/notebook/read-typed-note.js";
import { formatCommand } from "../../text/program-name.js";
import { createNoteHead, type NoteHead } from "../note-line.js";
import { findLatestWholeRound } from "../plan.js";
import {
  describeNote,
  findEntry,
  type NoteResult,
  parseListedWord,
  parseNoteText,
} from "./note-result.js";

export interface FaultRequest extends NoteHead {
  /** `6`, `6/mic`, `group 3`, `psu` or `desk`, or the first word of it. */
  readonly place: string;
  readonly text: string;
  readonly control?: string;
  readonly symptom?: string;
}

/**
 * Notes a fault seen or heard in use.
 *
 * @throws DeskroundError `usage` for an unknown strip, control or symptom, or nothing to note;
 *   `desk-file`, `notebook-file`, `cannot-write`
 */
export async function noteFault(request: FaultRequest): Promise<NoteResult> {
  const desk = readDesk(request.desk);
  const typed = readTypedNotes(request.place, request.text, desk);
  const [{ place, text, isPlaceUnknown }] = typed;
  const control = parseListedWord(request.control, controls, "control");
  const symptom = parseListedWord(request.symptom, symptoms, "symptom");
  if (text.trim() === "" && control === undefined && symptom === undefined) {
    throw new DeskroundError(
      "usage",
      `Nothing to note about ${formatPlace(place)}.`,
      `Say it in words: ${formatCommand(`note add ${formatPlace(place)} "phantom comes and goes"`)}, or with --control and --symptom.`,
    );
  }
  const { ids, notebook } = appendToNotebook(
    getDeskFolder(request.desk),
    typed.map((note) => ({
      ...createNoteHead(request),
      kind: "fault" as const,
      ...note.place,
      ...(control === undefined ? {} : { control: control as Control }),
      ...(symptom === undefined ? {} : { symptom: symptom as Symptom }),
      text: parseNoteText(note.text),
    })),
  );
  const result = describeNote(findEntry(ids[0], notebook), notebook);
  const others = ids.slice(1).map((id) => findEntry(id, notebook));
  const { answer, skipped } = await answerFault(request.desk, result);
  const fed = findFeeds(place, desk.sections);
  return {
    ...result,
    answer,
    fed,
    skipped,
    ...(isPlaceUnknown ? { isPlaceUnknown } : {}),
    ...(others.length === 0 ? {} : { others }),
  };
}

/**
 * How a note was understood and what to do at once; files that cannot be read are skipped and
 * reported.
 */
async function answerFault(
  folderOrFile: string,
  { entry, notebook }: Pick<NoteResult, "entry" | "notebook">,
): Promise<{ readonly answer: NoteAnswer; readonly skipped: readonly string[] }> {
  const skipped: string[] = [];
  let round: Round | undefined;
  try {
    round = await findLatestWholeRound(getDeskFolder(folderOrFile), skipped);
  } catch (error) {
    // The note is stored: if the rounds cannot be read for its answer, that is
    // reported but is not an error.
    if (!(error instanceof DeskroundError)) throw error;
    skipped.push(error.message);
  }
  return { answer: answerNote(entry, notebook.entries, round), skipped };
}
