import { getDeskFolder } from "../../desk/desk-file.js";
import { DeskroundError } from "../../errors.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { readNotebook } from "../../service/notebook/read.js";
import type { Entry } from "../../service/notebook/types.js";
import { formatCommand } from "../../text/program-name.js";
import { createNoteHead, type NoteHead } from "../note-line.js";
import { findEntry, parseNoteText } from "./note-result.js";

export interface CloseRequest extends NoteHead {
  readonly ids: readonly string[];
  readonly text: string;
}

/** Closes notes by hand. @throws DeskroundError as {@link noteFault}; `usage` for an unknown id */
export function closeNotes(request: CloseRequest): readonly Entry[] {
  const folder = getDeskFolder(request.desk);
  const notebook = readNotebook(folder);
  const entries = request.ids.map((id) => findEntry(id, notebook));
  const shut = entries.find(({ closed }) => closed !== undefined);
  if (shut !== undefined) {
    throw new DeskroundError(
      "usage",
      `Note ${shut.id} was closed already, on ${shut.closed?.date.slice(0, 10)}.`,
      `\`${formatCommand(`note show ${shut.id}`)}\` prints it. Nothing was changed.`,
    );
  }
  const text = parseNoteText(request.text);
  const after = appendToNotebook(
    folder,
    entries.map(({ id }) => ({
      ...createNoteHead(request),
      kind: "close",
      closes: id,
      figures: [],
      text,
    })),
  ).notebook;
  return entries.map(({ id }) => findEntry(id, after));
}
