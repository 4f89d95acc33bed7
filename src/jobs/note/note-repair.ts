import { formatPlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import { DeskroundError } from "../../errors.js";
import { listOpenFaultsAt } from "../../service/notebook/answer-note.js";
import { readTypedNote } from "../../service/notebook/read-typed-note.js";
import { saysRecapped } from "../../service/notebook/recaps.js";
import { buildStores } from "../../service/stores/ledger.js";
import { formatCommand } from "../../text/program-name.js";
import { createNoteHead, type NoteHead, parseUsedPart } from "../note-line.js";
import { type NoteResult, parseNoteText, writeNote } from "./note-result.js";

export interface RepairRequest extends NoteHead {
  readonly place: string;
  readonly text: string;
  /** Each as `10 µF 63 V` or `3x 10 µF 63 V`. */
  readonly parts: readonly string[];
  /**
   * Set if all electrolytics were replaced; when absent, words such as "recapped" in the text
   * count.
   */
  readonly recapped?: "recapped";
}

/** Notes what was done to a strip. @throws DeskroundError as {@link noteFault} */
export function noteRepair(request: RepairRequest): NoteResult {
  const desk = readDesk(request.desk);
  const { place, text } = readTypedNote(request.place, request.text, desk);
  if (text.trim() === "" && request.parts.length === 0 && !request.recapped) {
    throw new DeskroundError(
      "usage",
      `No work to note on ${formatPlace(place)}.`,
      `Say it in words: ${formatCommand('note done 6 "C4 and C7 replaced" --part "2x 10 µF 63 V"')}.`,
    );
  }
  const isWhole = place.input === undefined && place.section === undefined;
  if (request.recapped !== undefined && !isWhole) {
    throw new DeskroundError(
      "usage",
      `--recapped applies to a whole strip or the desk, not to ${formatPlace(place)}.`,
      `Leave the option out, or name a strip: ${formatCommand("note done 5 --recapped")}`,
    );
  }
  const recapped = isWhole && (request.recapped !== undefined || saysRecapped(text));
  const result = writeNote(request, {
    ...createNoteHead(request),
    kind: "repair",
    ...place,
    parts: request.parts.map(parseUsedPart),
    ...(recapped ? { recapped: true } : {}),
    text: parseNoteText(text),
  });
  const stores = buildStores(result.notebook);
  const taken = stores.uses.filter(({ note }) => note === result.entry.id);
  return {
    ...result,
    mayClose: listOpenFaultsAt(place, result.notebook.entries),
    ...(stores.isKept ? { taken } : {}),
  };
}
