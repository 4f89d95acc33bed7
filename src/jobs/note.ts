import { getDeskFolder } from "../desk/desk-file.js";
import { findClosestWord } from "../desk/paths.js";
import { formatPlace, isWithinPlace, parsePlace, pickPlace, splitPlace } from "../desk/place.js";
import { readDesk } from "../desk/read/read-desk.js";
import type { DeskPlace } from "../desk/types.js";
import type { DangerId } from "../diagnose/dangers.js";
import {
  type Control,
  controls,
  maxNoteLength,
  type Symptom,
  symptoms,
} from "../diagnose/note-vocabulary.js";
import { DeskroundError } from "../errors.js";
import type { Round } from "../history/types.js";
import { judgeMeter, type MeterLine, type MeterVerdict } from "../service/meter/judge.js";
import {
  type MeterQuantity,
  parseMeterValues,
  type WrittenValues,
} from "../service/meter/values.js";
import { answerNote, listOpenFaultsAt, type NoteAnswer } from "../service/notebook/answer-note.js";
import { appendToNotebook } from "../service/notebook/append.js";
import { readImportedNotes } from "../service/notebook/import.js";
import { isOpenNote } from "../service/notebook/is-open-note.js";
import { findFeeds, listNoteDangers } from "../service/notebook/open-dangers.js";
import { readNotebook } from "../service/notebook/read.js";
import { readTypedNote, readTypedNotes } from "../service/notebook/read-typed-note.js";
import { saysRecapped } from "../service/notebook/recaps.js";
import type { MeterValue } from "../service/notebook/schema.js";
import type { Entry, Notebook } from "../service/notebook/types.js";
import { buildStores, type StockUse } from "../service/stores/ledger.js";
import { createNoteHead, type NoteHead, parseNoteLine, parseUsedPart } from "./note-line.js";
import { findLatestWholeRound } from "./plan.js";
import { getDate, isFutureDay } from "./wall-time.js";

export interface FaultRequest extends NoteHead {
  /** `6`, `6/mic`, `group 3`, `psu` or `desk`, or the first of the words that name it. */
  readonly place: string;
  readonly text: string;
  readonly control?: string;
  readonly symptom?: string;
}

export interface MeterRequest extends NoteHead, WrittenValues {
  readonly place: string;
  readonly what: MeterQuantity;
  /** Which part, or where it was measured. */
  readonly part?: string;
  readonly text: string;
}

export interface RepairRequest extends NoteHead {
  readonly place: string;
  readonly text: string;
  /** Each as `10 µF 63 V` or `3x 10 µF 63 V`. */
  readonly parts: readonly string[];
  /** That all electrolytics were replaced; where it is absent, words such as "recapped" say so. */
  readonly recapped?: "recapped";
}

export interface OffRequest extends NoteHead {
  readonly place: string;
  /** `bottom cover`. */
  readonly what: string;
}

export interface BackRequest extends NoteHead {
  /** `n12`, `7`, `desk`, or `all`. */
  readonly place: string;
  /** Which of the things off that place; all of them when absent. */
  readonly what?: string;
}

export interface CloseRequest extends NoteHead {
  readonly ids: readonly string[];
  readonly text: string;
}

export interface CorrectRequest extends NoteHead, WrittenValues {
  readonly id: string;
  /** The words that hold from now on. */
  readonly text?: string;
  readonly place?: string;
  /** One of the list, or `none`. */
  readonly control?: string;
  readonly symptom?: string;
  /** The day on which it was noticed, YYYY-MM-DD. */
  readonly noticed?: string;
  readonly part?: string;
  /** It was closed by mistake. */
  readonly reopen?: "reopen";
  readonly withdraw?: "withdraw";
}

export interface ImportRequest extends NoteHead {
  readonly file: string;
  /** Asks whether lines that may mean something else are taken as read; without it they are not. */
  readonly confirm?: (doubtful: readonly string[]) => Promise<boolean>;
  /** Asks whether days in the future are meant; without it they are. */
  readonly confirmDays?: (days: readonly string[]) => Promise<boolean>;
}

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
  const control = wordOf(request.control, controls, "control");
  const symptom = wordOf(request.symptom, symptoms, "symptom");
  if (text.trim() === "" && control === undefined && symptom === undefined) {
    throw new DeskroundError(
      "usage",
      `Nothing to note about ${formatPlace(place)}.`,
      `Say it in words: deskround note add ${formatPlace(place)} "phantom comes and goes", or with --control and --symptom.`,
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
      text: checkedText(note.text),
    })),
  );
  const result = noted(entryOf(ids[0], notebook), notebook);
  const others = ids.slice(1).map((id) => entryOf(id, notebook));
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

/** What a note was taken for and what to do at once; what cannot be read is passed over and told. */
async function answerFault(
  folderOrFile: string,
  { entry, notebook }: Pick<NoteResult, "entry" | "notebook">,
): Promise<{ readonly answer: NoteAnswer; readonly skipped: readonly string[] }> {
  const skipped: string[] = [];
  let round: Round | undefined;
  try {
    round = await findLatestWholeRound(getDeskFolder(folderOrFile), skipped);
  } catch (error) {
    // The note is stored: what keeps its answer from the rounds is told, and is no error any more.
    if (!(error instanceof DeskroundError)) throw error;
    skipped.push(error.message);
  }
  return { answer: answerNote(entry, notebook.entries, round), skipped };
}

/** Notes a meter reading and judges it. @throws DeskroundError as {@link noteFault} */
export function noteMeter(request: MeterRequest): NoteResult {
  const desk = readDesk(request.desk);
  const place = parsePlace(request.place, desk);
  return written(request, {
    ...createNoteHead(request),
    kind: "meter",
    ...place,
    what: request.what,
    ...(request.part === undefined ? {} : { part: parseNoteLine(request.part, "part") }),
    values: [...parseMeterValues(request.what, request, desk)],
    text: checkedText(request.text),
  });
}

/** Notes what was done to a strip. @throws DeskroundError as {@link noteFault} */
export function noteRepair(request: RepairRequest): NoteResult {
  const desk = readDesk(request.desk);
  const { place, text } = readTypedNote(request.place, request.text, desk);
  if (text.trim() === "" && request.parts.length === 0 && !request.recapped) {
    throw new DeskroundError(
      "usage",
      `Nothing to note that was done to ${formatPlace(place)}.`,
      'Say it in words: deskround note done 6 "C4 and C7 replaced" --part "2x 10 µF 63 V".',
    );
  }
  const isWhole = place.input === undefined && place.section === undefined;
  if (request.recapped !== undefined && !isWhole) {
    throw new DeskroundError(
      "usage",
      `--recapped is of a whole strip, or of the desk, and not of ${formatPlace(place)}.`,
      "Leave the option out, or name a strip: deskround note done 5 --recapped",
    );
  }
  const recapped = isWhole && (request.recapped !== undefined || saysRecapped(text));
  const result = written(request, {
    ...createNoteHead(request),
    kind: "repair",
    ...place,
    parts: request.parts.map(parseUsedPart),
    ...(recapped ? { recapped: true } : {}),
    text: checkedText(text),
  });
  const stores = buildStores(result.notebook);
  const taken = stores.uses.filter(({ note }) => note === result.entry.id);
  return {
    ...result,
    mayClose: listOpenFaultsAt(place, result.notebook.entries),
    ...(stores.isKept ? { taken } : {}),
  };
}

/** Notes something that is taken off the desk. @throws DeskroundError as {@link noteFault} */
export function noteOff(request: OffRequest): NoteResult {
  const { place, rest } = splitPlace(`${request.place} ${request.what}`, readDesk(request.desk));
  const what = parseNoteLine(rest, "name of what comes off");
  return written(request, { ...createNoteHead(request), kind: "off", ...place, what, text: "" });
}

/**
 * Notes that things are back on the desk: by the id of the note, by place and name, or all of them.
 *
 * @throws DeskroundError as {@link noteFault}; `usage` where nothing of the kind is noted as off
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
        ? 'What comes off is noted so: deskround note off 7 "bottom cover"'
        : `Off the desk are: ${known.join(", ")}. Name one by its note, as in: deskround note back ${off[0].id}`,
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
  return back.map(({ id }) => entryOf(id, after));
}

type OffEntry = Entry & { readonly line: Extract<Entry["line"], { kind: "off" }> };

/** What is off the desk. */
function listOff({ entries }: Notebook): readonly OffEntry[] {
  return entries.filter(
    (entry): entry is OffEntry => entry.line.kind === "off" && entry.closed === undefined,
  );
}

/** A note's id alone; else a place, and a name where one is given. */
function isMeant({ id, line }: OffEntry, { desk, place, what }: BackRequest): boolean {
  if (/^n\d+[b-z]*$/i.test(place.trim())) return id === place.trim().toLowerCase();
  const wanted = formatPlace(parsePlace(place, readDesk(desk)));
  const name = what?.replace(/\s+/g, " ").trim().toLowerCase();
  return formatPlace(line) === wanted && (name === undefined || line.what.toLowerCase() === name);
}

/** Closes notes by hand. @throws DeskroundError as {@link noteFault}; `usage` for an unknown id */
export function closeNotes(request: CloseRequest): readonly Entry[] {
  const folder = getDeskFolder(request.desk);
  const notebook = readNotebook(folder);
  const entries = request.ids.map((id) => entryOf(id, notebook));
  const shut = entries.find(({ closed }) => closed !== undefined);
  if (shut !== undefined) {
    throw new DeskroundError(
      "usage",
      `Note ${shut.id} was closed already, on ${shut.closed?.date.slice(0, 10)}.`,
      `\`deskround note show ${shut.id}\` prints it. Nothing was changed.`,
    );
  }
  const text = checkedText(request.text);
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
  return entries.map(({ id }) => entryOf(id, after));
}

/**
 * Corrects a note by a new line; the old one stays in the file.
 *
 * @throws DeskroundError as {@link closeNotes}; `usage` for what does not belong to such a note
 */
export function correctNote(request: CorrectRequest): Entry {
  const folder = getDeskFolder(request.desk);
  const notebook = readNotebook(folder);
  const entry = entryOf(request.id, notebook);
  const { withdraw } = request;
  const changes = listChanges(entry, request);
  if (Object.keys(changes).length === 0 && withdraw === undefined) {
    throw new DeskroundError(
      "usage",
      `Nothing to correct in note ${entry.id}.`,
      "Give the words that are to hold; --place, --control, --symptom or --noticed; --value, --pin2 and the like for a reading; --reopen if it was closed by mistake; or --withdraw.",
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
  return withdraw === undefined ? entryOf(entry.id, after) : entry;
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
      `That would leave note ${entry.id} without words.`,
      "Give the words that are to hold, or --withdraw to take the note back.",
    );
  }
  if (reopen !== undefined && entry.closed === undefined) {
    throw new DeskroundError(
      "usage",
      `Note ${entry.id} is not closed.`,
      `\`deskround note show ${entry.id}\` prints it. Nothing was changed.`,
    );
  }
  const values = correctedValues(entry, request);
  return {
    ...(request.place === undefined ? {} : placeChange(request.place, request.desk)),
    ...wordChange("control", request.control, controls, entry),
    ...wordChange("symptom", request.symptom, symptoms, entry),
    ...(noticed === undefined ? {} : { noticed: getDate(noticed) }),
    ...(text === undefined ? {} : { text: checkedText(text) }),
    ...(values === undefined ? {} : { values }),
    ...(part === undefined ? {} : { part: parseNoteLine(part, "part") }),
    ...(reopen === undefined ? {} : { reopened: true as const }),
  } as Changes;
}

function placeChange(text: string, folderOrFile: string): DeskPlace | { wholeDesk: true } {
  const place = parsePlace(text, readDesk(folderOrFile));
  return place.strip === undefined && place.section === undefined ? { wholeDesk: true } : place;
}

/** `none` takes a word away, so that the text is read again. */
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
      `Note ${id} is not of a fault, so it has no ${what}.`,
      `\`deskround note show ${id}\` prints it. Nothing was changed.`,
    );
  }
  if (text.trim().toLowerCase() === "none") return { [what]: null };
  return { [what]: wordOf(text, words, what) ?? null };
}

/** The values of a reading that are to hold, judged by what it was judged by unless that is given. */
function correctedValues(entry: Entry, request: CorrectRequest): MeterValue[] | undefined {
  const { pin2, pin3, plus, minus, value, nominal, tolerance, part } = request;
  const written = { pin2, pin3, plus, minus, value };
  const isGiven = Object.values(written).some((one) => one !== undefined);
  if (!isGiven && nominal === undefined && tolerance === undefined && part === undefined) return;
  const { id, line } = entry;
  if (line.kind !== "meter") {
    throw new DeskroundError(
      "usage",
      `Note ${id} is not of a meter reading, so it has no values.`,
      `\`deskround note show ${id}\` prints it. Nothing was changed.`,
    );
  }
  if (!isGiven && nominal === undefined && tolerance === undefined) return;
  // Without new values those that there are get the new nominal value.
  const old = Object.fromEntries(
    line.values.map(({ at, value: was }) => [fieldOf(at), String(was)]),
  ) as WrittenValues;
  const texts = isGiven ? written : old;
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

function fieldOf(at: string): keyof WrittenValues {
  return at.replace("pin ", "pin") as keyof WrittenValues;
}

/** Ohms and farads have to be written; those that were stored are bare numbers. */
function withUnit(values: WrittenValues, unit: MeterValue["unit"]): WrittenValues {
  const { value } = values;
  if (unit === "V" || value === undefined || !/^[\d.e+-]+$/i.test(value)) return values;
  return { ...values, value: `${value}${unit === "F" ? "F" : "ohm"}` };
}

/** What an import did. */
export interface ImportResult {
  readonly entries: readonly Entry[];
  /** Notes that stood in the notebook already, word for word. */
  readonly known: number;
}

/**
 * Takes over notes kept on paper or in a spreadsheet: all lines of the file or, when one of them
 * cannot be understood, none.
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
    text: checkedText(rest.text),
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
    "Correct the days in the file, or set the computer's clock. If the days are meant, add --future.",
  );
}

function createDoubtError(doubtful: readonly string[]): DeskroundError {
  const shown = doubtful.slice(0, 5).join("; ");
  const more = doubtful.length > 5 ? `; and ${doubtful.length - 5} more` : "";
  return new DeskroundError(
    "usage",
    `It is not certain that these lines begin with a strip: ${shown}${more}.`,
    "Put a colon behind the strip, as in `8: pop`, or `strip 8 pop`. Nothing was imported.",
  );
}

/**
 * What makes two notes the same, so that a file imported twice doubles nothing; a note without a
 * day is known by its place and words alone.
 */
function imprint(
  { strip, input, section, text }: DeskPlace & { text: string },
  day?: string,
): string {
  return JSON.stringify([strip, input, text, day, section]);
}

/** A fault without a day that was closed and is found in a file again has come back. */
function imprints({ line, closed }: Entry): readonly string[] {
  if (line.kind !== "fault") return [];
  const dated = imprint(line, line.date.slice(0, 10));
  return closed === undefined ? [imprint(line), dated] : [dated];
}

/** The notes of a desk. */
export interface NoteList {
  readonly notebook: Notebook;
  readonly entries: readonly Entry[];
  /** Of each of the entries, none where it is closed. */
  readonly dangers: readonly (readonly DangerId[])[];
}

/**
 * The notes that are open, or all.
 *
 * @param place `6` or `6/mic`: only these
 */
export function listNotes(desk: string, which: "open" | "all", place?: string): NoteList {
  const notebook = readNotebook(getDeskFolder(desk));
  const note = notebook.entries.find(({ id }) => id === place?.trim().toLowerCase());
  if (note !== undefined) {
    throw new DeskroundError(
      "usage",
      `${note.id} is a note, and list takes a place.`,
      `\`deskround note show ${note.id}\` prints it, \`deskround note list 7\` those of strip 7.`,
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
  return noted(entryOf(id, notebook), notebook);
}

function written(
  request: NoteHead,
  line: Parameters<typeof appendToNotebook>[1][number],
): NoteResult {
  const { ids, notebook } = appendToNotebook(getDeskFolder(request.desk), [line]);
  return noted(entryOf(ids[0], notebook), notebook);
}

function noted(entry: Entry, notebook: Notebook): NoteResult {
  const found = listNoteDangers(entry);
  const dangers = found.length === 0 ? {} : { dangers: found };
  if (entry.line.kind !== "meter") return { entry, notebook, ...dangers };
  const others = notebook.entries.filter((other) => other !== entry && other.closed === undefined);
  return { entry, notebook, ...dangers, verdict: judgeMeter(entry.line as MeterLine, others) };
}

function entryOf(id: string, { entries, file }: Notebook): Entry {
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
    `${/^\d+(?:\/\S+)?$/.test(wanted) ? `\`deskround note list ${wanted}\` lists those of strip ${wanted}. ` : ""}${like === undefined ? "" : `Did you mean ${like}? `}\`deskround note list --all\` lists them.`,
  );
}

/** Kept to the letter; only what could never be read again is refused. */
function checkedText(text: string): string {
  if (text.length <= maxNoteLength) return text;
  throw new DeskroundError(
    "usage",
    `The note has ${text.length} characters, more than the ${maxNoteLength} allowed.`,
    "Keep long papers in files of their own and note their names.",
  );
}

function wordOf(
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
      : `Did you mean ${like}? \`deskround note add --help\` has the list; anything else goes into the text.`,
  );
}

/** No note comes near this, bytes. */
const largestPipe = 1_000_000;

/** Where the free text of a note is piped in. */
export interface PipedText {
  readonly stream?: NodeJS.ReadableStream;
  /** Seconds after which there is none if nothing came; for ever when absent. */
  readonly waitS?: number;
}

/**
 * The free text of a note that comes through a pipe: to the letter, but for the last line end.
 *
 * @throws DeskroundError `usage`: too much, or not in UTF-8
 */
export async function readPipedText({
  stream = process.stdin,
  waitS,
}: PipedText = {}): Promise<string> {
  const bytes = await readStream(stream, waitS);
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes).replace(/\r?\n$/, "");
  } catch (error) {
    throw new DeskroundError(
      "usage",
      "What came through the pipe is not a text in UTF-8.",
      "Nothing was noted.",
      error,
    );
  }
}

function readStream(stream: NodeJS.ReadableStream, waitS: number | undefined): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    // What has ended already, or was never open, ends no second time.
    if ((stream as { readonly readableEnded?: boolean }).readableEnded) {
      resolve(Buffer.alloc(0));
      return;
    }
    const chunks: Buffer[] = [];
    let length = 0;
    const fail = (message: string, hint: string) => {
      clearTimeout(timer);
      stream.removeAllListeners("data");
      (stream as NodeJS.ReadableStream & { destroy?: () => void }).destroy?.();
      reject(new DeskroundError("usage", message, hint));
    };
    const late = () => {
      stream.removeAllListeners("data");
      (stream as NodeJS.ReadableStream & { destroy?: () => void }).destroy?.();
      resolve(Buffer.alloc(0));
    };
    const timer = waitS === undefined ? undefined : setTimeout(late, 1000 * waitS);
    stream.on("data", (chunk: Buffer | string) => {
      clearTimeout(timer);
      chunks.push(Buffer.from(chunk));
      length += chunk.length;
      if (length > largestPipe)
        fail("Too much came through the pipe to be a note.", "Nothing was noted.");
    });
    stream.on("end", () => {
      clearTimeout(timer);
      resolve(Buffer.concat(chunks));
    });
    stream.on("error", (error) => {
      clearTimeout(timer);
      reject(error);
    });
  });
}
