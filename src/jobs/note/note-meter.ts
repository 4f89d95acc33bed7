import { parsePlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import {
  type MeterQuantity,
  parseMeterValues,
  type WrittenValues,
} from "../../service/meter/values.js";
import { createNoteHead, type NoteHead, parseNoteLine } from "../note-line.js";
import { type NoteResult, parseNoteText, writeNote } from "./note-result.js";

export interface MeterRequest extends NoteHead, WrittenValues {
  readonly place: string;
  readonly what: MeterQuantity;
  /** Part or point that was measured. */
  readonly part?: string;
  readonly text: string;
}

/** Notes a meter reading and judges it. @throws DeskroundError as {@link noteFault} */
export function noteMeter(request: MeterRequest): NoteResult {
  const desk = readDesk(request.desk);
  const place = parsePlace(request.place, desk);
  return writeNote(request, {
    ...createNoteHead(request),
    kind: "meter",
    ...place,
    what: request.what,
    ...(request.part === undefined ? {} : { part: parseNoteLine(request.part, "part") }),
    values: [...parseMeterValues(request.what, request, desk)],
    text: parseNoteText(request.text),
  });
}
