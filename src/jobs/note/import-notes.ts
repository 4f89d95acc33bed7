import { getDeskFolder } from "../../desk/desk-file.js";
import { readDesk } from "../../desk/read/read-desk.js";
import type { DeskPlace } from "../../desk/types.js";
import { DeskroundError } from "../../errors.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { readImportedNotes } from "../../service/notebook/import.js";
import { readNotebook } from "../../service/notebook/read.js";
import type { Entry } from "../../service/notebook/types.js";
import { createNoteHead, type NoteHead } from "../note-line.js";
import { isFutureDay } from "../wall-time.js";
import { parseNoteText } from "./note-result.js";

export interface ImportRequest extends NoteHead {
  readonly file: string;
  /** Asks whether ambiguous lines are accepted as read; without it they are refused. */
  readonly confirm?: (doubtful: readonly string[]) => Promise<boolean>;
  /** Asks whether days in the future are meant; without it they are. */
  readonly confirmDays?: (days: readonly string[]) => Promise<boolean>;
}

/** Result of an import. */
export interface ImportResult {
  readonly entries: readonly Entry[];
  /** Notes that were in the notebook already, word for word. */
  readonly known: number;
}

/**
 * Imports notes kept on paper or in a spreadsheet: all lines of the file or, if one of them cannot
 * be understood, none.
 *
 * @throws DeskroundError `usage`, naming file and line
 */
export async function importNotes(request: ImportRequest): Promise<ImportResult> {
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const found = await readImportedNotes(request.file, desk);
  const doubtful = found.flatMap(({ doubt }) => doubt ?? []);
  if (doubtful.length > 0 && !(await request.confirm?.(doubtful))) throw createDoubtError(doubtful);
  await assertDaysMeant(found, request);
  const have = new Set(readNotebook(folder).entries.flatMap(imprints));
  const fresh = found.filter((note) => !have.has(imprint(note, note.day)));
  const lines = fresh.map(({ day, who, doubt: _, ...rest }) => ({
    ...createNoteHead({ ...request, ...(day ? { date: day } : {}), ...(who ? { who } : {}) }),
    kind: "fault" as const,
    ...rest,
    text: parseNoteText(rest.text),
  }));
  if (lines.length === 0) return { entries: [], known: found.length };
  const { ids, notebook } = appendToNotebook(folder, lines);
  const byId = new Map(notebook.entries.map((entry) => [entry.id, entry]));
  return { entries: ids.flatMap((id) => byId.get(id) ?? []), known: found.length - fresh.length };
}

async function assertDaysMeant(
  found: readonly { readonly day?: string }[],
  { file, confirmDays }: ImportRequest,
): Promise<void> {
  const now = new Date();
  const days = [
    ...new Set(found.flatMap(({ day }) => (day !== undefined && isFutureDay(day, now) ? day : []))),
  ];
  if (days.length === 0 || confirmDays === undefined || (await confirmDays(days))) return;
  throw new DeskroundError(
    "usage",
    `${file} has notes of days in the future, by this computer's clock: ${days.slice(0, 5).join(", ")}. Nothing was imported.`,
    "Correct the days in the file, or set the computer's clock. If the days are right, add --future.",
  );
}

function createDoubtError(doubtful: readonly string[]): DeskroundError {
  const shown = doubtful.slice(0, 5).join("; ");
  const more = doubtful.length > 5 ? `; and ${doubtful.length - 5} more` : "";
  return new DeskroundError(
    "usage",
    `It is not certain that these lines begin with a strip: ${shown}${more}.`,
    "Put a colon after the strip, as in `8: pop`, or `strip 8 pop`. Nothing was imported.",
  );
}

/**
 * Key of a note, so that importing a file twice adds nothing; without a day it is place and text.
 */
function imprint(
  { strip, input, section, text }: DeskPlace & { text: string },
  day?: string,
): string {
  return JSON.stringify([strip, input, text, day, section]);
}

/** If a fault without a day was closed and is imported again, it has come back. */
function imprints({ line, closed }: Entry): readonly string[] {
  if (line.kind !== "fault") return [];
  const dated = imprint(line, line.date.slice(0, 10));
  return closed === undefined ? [imprint(line), dated] : [dated];
}
