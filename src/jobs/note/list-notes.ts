import { getDeskFolder } from "../../desk/desk-file.js";
import { isWithinPlace, parsePlace, pickPlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import type { DangerId } from "../../diagnose/dangers.js";
import { DeskroundError } from "../../errors.js";
import { isOpenNote } from "../../service/notebook/is-open-note.js";
import { listNoteDangers } from "../../service/notebook/open-dangers.js";
import { readNotebook } from "../../service/notebook/read.js";
import type { Entry, Notebook } from "../../service/notebook/types.js";
import { formatCommand } from "../../text/program-name.js";
import { describeNote, findEntry, type NoteResult } from "./note-result.js";

/** The notes of a desk. */
export interface NoteList {
  readonly notebook: Notebook;
  readonly entries: readonly Entry[];
  /** Dangers of each entry; none if it is closed. */
  readonly dangers: readonly (readonly DangerId[])[];
}

/**
 * The open notes, or all.
 *
 * @param place `6` or `6/mic`: only these
 */
export function listNotes(desk: string, which: "open" | "all", place?: string): NoteList {
  const notebook = readNotebook(getDeskFolder(desk));
  const note = notebook.entries.find(({ id }) => id === place?.trim().toLowerCase());
  if (note !== undefined) {
    throw new DeskroundError(
      "usage",
      `${note.id} is a note, but list needs a place.`,
      `\`${formatCommand(`note show ${note.id}`)}\` prints it, \`${formatCommand("note list 7")}\` those of strip 7.`,
    );
  }
  const wanted = place === undefined ? undefined : parsePlace(place, readDesk(desk));
  const isOfDesk =
    wanted !== undefined && wanted.strip === undefined && wanted.section === undefined;
  const entries = notebook.entries.filter(({ line, ...entry }) => {
    const isHeld = line.kind === "accept" && entry.closed === undefined;
    if (which === "open" && !isHeld && !isOpenNote({ line, ...entry })) return false;
    if (wanted === undefined) return true;
    if (isOfDesk) return line.strip === undefined && line.section === undefined;
    return isWithinPlace(pickPlace(line), wanted);
  });
  const dangers = entries.map((entry) =>
    entry.closed === undefined ? listNoteDangers(entry) : [],
  );
  return { notebook, entries, dangers };
}

/** One note. @throws DeskroundError `usage` for an unknown id */
export function showNote(desk: string, id: string): NoteResult {
  const notebook = readNotebook(getDeskFolder(desk));
  return describeNote(findEntry(id, notebook), notebook);
}
