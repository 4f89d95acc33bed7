import { getDeskFolder } from "../../desk/desk-file.js";
import { formatPlace, parsePlace, splitPlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import { DeskroundError } from "../../errors.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { readNotebook } from "../../service/notebook/read.js";
import type { Entry, Notebook } from "../../service/notebook/types.js";
import { collapseSpace } from "../../text/collapse-space.js";
import { formatCommand } from "../../text/program-name.js";
import { createNoteHead, type NoteHead, parseNoteLine } from "../note-line.js";
import { findEntry, type NoteResult, writeNote } from "./note-result.js";

export interface OffRequest extends NoteHead {
  readonly place: string;
  /** `bottom cover`. */
  readonly what: string;
}

export interface BackRequest extends NoteHead {
  /** `n12`, `7`, `desk`, or `all`. */
  readonly place: string;
  /** Name of what was taken off that place; everything when absent. */
  readonly what?: string;
}

/** Notes something that is taken off the desk. @throws DeskroundError as {@link noteFault} */
export function noteOff(request: OffRequest): NoteResult {
  const { place, rest } = splitPlace(`${request.place} ${request.what}`, readDesk(request.desk));
  const what = parseNoteLine(rest, "name of what comes off");
  return writeNote(request, { ...createNoteHead(request), kind: "off", ...place, what, text: "" });
}

/**
 * Notes that things are back on the desk: by the id of the note, by place and name, or all of them.
 *
 * @throws DeskroundError as {@link noteFault}; `usage` if no such thing is noted as off
 */
export function noteBack(request: BackRequest): readonly Entry[] {
  const folder = getDeskFolder(request.desk);
  const off = listOff(readNotebook(folder));
  const back = request.place === "all" ? off : off.filter((entry) => isMeant(entry, request));
  if (back.length === 0) {
    const known = off.map(({ id, line }) => `${id} (${formatPlace(line)}: ${line.what})`);
    throw new DeskroundError(
      "usage",
      known.length === 0
        ? "Nothing is noted as taken off."
        : `Nothing of that name is noted as taken off ${request.place}.`,
      known.length === 0
        ? `To note what comes off: ${formatCommand('note off 7 "bottom cover"')}`
        : `Off the desk are: ${known.join(", ")}. Name one by its note, for example: ${formatCommand(`note back ${off[0].id}`)}`,
    );
  }
  const after = appendToNotebook(
    folder,
    back.map(({ id }) => ({
      ...createNoteHead(request),
      kind: "close",
      closes: id,
      figures: [],
      text: "put back",
    })),
  ).notebook;
  return back.map(({ id }) => findEntry(id, after));
}

type OffEntry = Entry & { readonly line: Extract<Entry["line"], { kind: "off" }> };

/** What is off the desk. */
function listOff({ entries }: Notebook): readonly OffEntry[] {
  return entries.filter(
    (entry): entry is OffEntry => entry.line.kind === "off" && entry.closed === undefined,
  );
}

/** Matches a note's id, or a place and, if given, a name. */
function isMeant({ id, line }: OffEntry, { desk, place, what }: BackRequest): boolean {
  if (/^n\d+[b-z]*$/i.test(place.trim())) return id === place.trim().toLowerCase();
  const wanted = formatPlace(parsePlace(place, readDesk(desk)));
  const name = what === undefined ? undefined : collapseSpace(what).toLowerCase();
  return formatPlace(line) === wanted && (name === undefined || line.what.toLowerCase() === name);
}
