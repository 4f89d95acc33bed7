import { getDeskFolder } from "../../desk/desk-file.js";
import { parsePlace } from "../../desk/place.js";
import { readDesk } from "../../desk/read/read-desk.js";
import type { DeskPlace } from "../../desk/types.js";
import { controls, symptoms } from "../../diagnose/note-vocabulary.js";
import { DeskroundError } from "../../errors.js";
import {
  listWrittenValues,
  parseMeterValues,
  type WrittenValues,
} from "../../service/meter/values.js";
import { appendToNotebook } from "../../service/notebook/append.js";
import { readNotebook } from "../../service/notebook/read.js";
import type { MeterValue } from "../../service/notebook/schema.js";
import type { Entry } from "../../service/notebook/types.js";
import { formatCommand } from "../../text/program-name.js";
import { createNoteHead, type NoteHead, parseNoteLine } from "../note-line.js";
import { getDate } from "../wall-time.js";
import { findEntry, parseListedWord, parseNoteText } from "./note-result.js";

export interface CorrectRequest extends NoteHead, WrittenValues {
  readonly id: string;
  /** The new text. */
  readonly text?: string;
  readonly place?: string;
  /** A control from the list, or `none`. */
  readonly control?: string;
  readonly symptom?: string;
  /** The day on which it was noticed, YYYY-MM-DD. */
  readonly noticed?: string;
  readonly part?: string;
  /** Set if it was closed by mistake. */
  readonly reopen?: "reopen";
  readonly withdraw?: "withdraw";
}

/**
 * Corrects a note by a new line; the old one stays in the file.
 *
 * @throws DeskroundError as {@link closeNotes}; `usage` for options that do not apply to that kind
 * of note
 */
export function correctNote(request: CorrectRequest): Entry {
  const folder = getDeskFolder(request.desk);
  const notebook = readNotebook(folder);
  const entry = findEntry(request.id, notebook);
  const { withdraw } = request;
  const changes = listChanges(entry, request);
  if (Object.keys(changes).length === 0 && withdraw === undefined) {
    throw new DeskroundError(
      "usage",
      `Nothing to correct in note ${entry.id}.`,
      "Give the new text; --place, --control, --symptom or --noticed; --value, --pin2 and the like for a reading; --reopen if it was closed by mistake; or --withdraw.",
    );
  }
  const after = appendToNotebook(folder, [
    {
      ...createNoteHead(request),
      kind: "correct",
      corrects: entry.id,
      ...changes,
      ...(withdraw === undefined ? {} : { withdrawn: true }),
    },
  ]).notebook;
  return withdraw === undefined ? findEntry(entry.id, after) : entry;
}

type Changes = Omit<
  Extract<Parameters<typeof appendToNotebook>[1][number], { kind: "correct" }>,
  "kind" | "corrects" | "date" | "who" | "key"
>;

function listChanges(entry: Entry, request: CorrectRequest): Changes {
  const { text, noticed, reopen, part } = request;
  if (text !== undefined && text.trim() === "") {
    throw new DeskroundError(
      "usage",
      `That would leave note ${entry.id} empty.`,
      "Give the new text, or --withdraw to take the note back.",
    );
  }
  if (reopen !== undefined && entry.closed === undefined) {
    throw new DeskroundError(
      "usage",
      `Note ${entry.id} is not closed.`,
      `\`${formatCommand(`note show ${entry.id}`)}\` prints it. Nothing was changed.`,
    );
  }
  const values = correctedValues(entry, request);
  return {
    ...(request.place === undefined ? {} : placeChange(request.place, request.desk)),
    ...wordChange("control", request.control, controls, entry),
    ...wordChange("symptom", request.symptom, symptoms, entry),
    ...(noticed === undefined ? {} : { noticed: getDate(noticed) }),
    ...(text === undefined ? {} : { text: parseNoteText(text) }),
    ...(values === undefined ? {} : { values }),
    ...(part === undefined ? {} : { part: parseNoteLine(part, "part") }),
    ...(reopen === undefined ? {} : { reopened: true as const }),
  } as Changes;
}

function placeChange(text: string, folderOrFile: string): DeskPlace | { wholeDesk: true } {
  const place = parsePlace(text, readDesk(folderOrFile));
  return place.strip === undefined && place.section === undefined ? { wholeDesk: true } : place;
}

/** `none` removes the stored word, so that the text decides again. */
function wordChange(
  what: "control" | "symptom",
  text: string | undefined,
  words: readonly string[],
  { id, line }: Entry,
): Record<string, string | null> {
  if (text === undefined) return {};
  if (line.kind !== "fault") {
    throw new DeskroundError(
      "usage",
      `Note ${id} is not about a fault, so it has no ${what}.`,
      `\`${formatCommand(`note show ${id}`)}\` prints it. Nothing was changed.`,
    );
  }
  if (text.trim().toLowerCase() === "none") return { [what]: null };
  return { [what]: parseListedWord(text, words, what) ?? null };
}

/**
 * The corrected values of a reading, judged by its former nominal value and tolerance unless new
 * ones are given.
 */
function correctedValues(entry: Entry, request: CorrectRequest): MeterValue[] | undefined {
  const { pin2, pin3, plus, minus, value, nominal, tolerance, part } = request;
  const written = { pin2, pin3, plus, minus, value };
  const isGiven = Object.values(written).some((one) => one !== undefined);
  if (!isGiven && nominal === undefined && tolerance === undefined && part === undefined) return;
  const { id, line } = entry;
  if (line.kind !== "meter") {
    throw new DeskroundError(
      "usage",
      `Note ${id} is not a meter reading, so it has no values.`,
      `\`${formatCommand(`note show ${id}`)}\` prints it. Nothing was changed.`,
    );
  }
  if (!isGiven && nominal === undefined && tolerance === undefined) return;
  // Without new values the stored ones are judged by the new nominal value.
  const texts = isGiven ? written : listWrittenValues(line.values);
  const given = Object.fromEntries(
    Object.entries({ ...texts, nominal, tolerance }).filter(([, one]) => one !== undefined),
  ) as WrittenValues;
  const unit = line.values[0].unit;
  const fresh = parseMeterValues(line.what, withUnit(given, unit), readDesk(request.desk));
  return fresh.map((one) => {
    const was = line.values.find(({ at }) => at === one.at);
    return {
      ...one,
      ...(one.nominal === undefined && was?.nominal !== undefined ? { nominal: was.nominal } : {}),
      ...(one.tolerance === undefined && was?.tolerance !== undefined && nominal === undefined
        ? { tolerance: was.tolerance }
        : {}),
    };
  });
}

/** Adds the unit: stored values are bare numbers, but ohms and farads must be written. */
function withUnit(values: WrittenValues, unit: MeterValue["unit"]): WrittenValues {
  const { value } = values;
  if (unit === "V" || value === undefined || !/^[\d.e+-]+$/i.test(value)) return values;
  return { ...values, value: `${value}${unit === "F" ? "F" : "ohm"}` };
}
