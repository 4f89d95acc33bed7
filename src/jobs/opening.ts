import { getDeskFolder } from "../desk/desk-file.js";
import { normalizeName } from "../desk/names.js";
import { findClosestWord } from "../desk/paths.js";
import { type DeskPlace, formatPlace, parsePlace, splitPlace } from "../desk/place.js";
import { readDesk } from "../desk/read/read-desk.js";
import { readStripDown } from "../desk/strip-down/read-strip-down.js";
import type { CountedPart, StripDownBoard } from "../desk/strip-down/types.js";
import type { Desk } from "../desk/types.js";
import { DeskroundError } from "../errors.js";
import { appendToNotebook } from "../service/notebook/append.js";
import {
  findOpening,
  listOffEntries,
  listStillOff,
  type Opening,
  type StillOff,
} from "../service/notebook/opening.js";
import { readNotebook } from "../service/notebook/read.js";
import type { NewNote, Notebook } from "../service/notebook/types.js";
import { formatCommand } from "../text/program-name.js";
import { createNoteHead, type NoteHead, parseNoteLine, parseUsedPart } from "./note-line.js";

/** State of an opening. */
export interface OpeningResult {
  /** Undefined if none is in progress. */
  readonly opening: Opening | undefined;
  readonly notebook: Notebook;
}

/** How far the opening has gone. @throws DeskroundError `notebook-file` */
export function showOpening(desk: string): OpeningResult {
  const notebook = readNotebook(getDeskFolder(desk));
  return { opening: findOpening(notebook), notebook };
}

/**
 * Starts an opening, or continues the one in progress.
 *
 * @throws DeskroundError `desk-file`, `notebook-file`, `cannot-write`
 */
export function startOpening(
  request: NoteHead,
): OpeningResult & { readonly how: "begun" | "goes on" } {
  readDesk(request.desk);
  const now = showOpening(request.desk);
  if (now.opening?.id !== undefined) return { ...now, how: "goes on" };
  append(request, [createStart(request)]);
  return { ...showOpening(request.desk), how: "begun" };
}

export interface TakeOffRequest extends NoteHead {
  /** `7`, `7/mic` or `desk`. */
  readonly place: string;
  /** A board of the strip-down book, or any other part by name. */
  readonly what: string;
  readonly how: "off" | "unplugged";
  /** Each as `4x M3x8`; those in the book if empty. */
  readonly fixings: readonly string[];
}

export interface TakeOffResult extends OpeningResult {
  /** The lines that were written. */
  readonly ids: readonly string[];
  /** The board, if the strip-down book has it. */
  readonly board?: StripDownBoard;
}

/**
 * Notes what is taken off or unplugged, in one line that is on disk before this returns. For a
 * board of the strip-down book, its fixings and its connectors are noted too, one line per
 * connector. Starts an opening if none is in progress.
 *
 * @throws DeskroundError `usage` for an unknown place, a board that the strip does not have, or
 * something that is already off
 */
export function takeOff(request: TakeOffRequest): TakeOffResult {
  const desk = readDesk(request.desk);
  const folder = getDeskFolder(request.desk);
  const boards = readStripDown(folder, desk)?.boards ?? [];
  const said = `${request.place} ${request.what}`;
  const { place, rest } = splitBeforeBoard(said, desk, boards) ?? splitPlace(said, desk);
  const written = parseNoteLine(rest, "name of what comes off");
  const notebook = readNotebook(folder);
  const board = request.how === "off" ? findBoard(written, place, boards) : undefined;
  const what = board?.name ?? written;
  const fixings: readonly CountedPart[] =
    request.fixings.length > 0 ? request.fixings.map(parseUsedPart) : (board?.fixings ?? []);
  const lines = [
    createOffLine(request, place, what, request.how, fixings),
    ...(board?.connectors ?? []).map((one) =>
      createOffLine(request, place, one.slice(0, longestWhat), "unplugged", []),
    ),
  ].filter((line) => !isOff(line, notebook));
  if (lines.length === 0) {
    const known = listStillOff(notebook).find((one) => isSame(one, place, what));
    throw new DeskroundError(
      "usage",
      `The ${what} of ${formatPlace(place)} is noted as ${request.how} already${known === undefined ? "" : ` (${known.note})`}.`,
      `\`${formatCommand("opening status")}\` lists all that is off. Nothing was written.`,
    );
  }
  const begins = findOpening(notebook)?.id === undefined;
  const { ids } = append(request, [...(begins ? [createStart(request)] : []), ...lines]);
  return {
    ...showOpening(request.desk),
    ids: begins ? ids.slice(1) : ids,
    ...(board === undefined ? {} : { board }),
  };
}

/** In "group 2 bus board" the place is group 2 if the book has a bus board. */
function splitBeforeBoard(
  text: string,
  desk: Desk,
  boards: readonly StripDownBoard[],
): ReturnType<typeof splitPlace> | undefined {
  const words = text.trim().split(/\s+/);
  for (let at = 1; at < words.length; at++) {
    const rest = words.slice(at).join(" ");
    if (!boards.some(({ name }) => normalizeName(name) === normalizeName(rest))) continue;
    try {
      return { place: parsePlace(words.slice(0, at).join(" "), desk), rest };
    } catch (error) {
      if (!(error instanceof DeskroundError)) throw error;
    }
  }
  return undefined;
}

/** Characters; as in the notebook's lines. */
const longestWhat = 60;

/** The board of that name; a name that only resembles one stays as typed. */
function findBoard(
  what: string,
  { strip, section }: DeskPlace,
  boards: readonly StripDownBoard[],
): StripDownBoard | undefined {
  const named = boards.find(({ name }) => normalizeName(name) === normalizeName(what));
  if (named === undefined) {
    const like = findClosestWord(
      what,
      boards.map(({ name }) => name),
    );
    if (like === undefined || !isSlip(what, like)) return undefined;
    throw new DeskroundError(
      "usage",
      `The strip-down book has no "${what}".`,
      `Did you mean ${like}? Nothing was written.`,
    );
  }
  const owners = [...named.strips, ...named.sections];
  const own = strip ?? section;
  if (own === undefined || owners.includes(own)) return named;
  throw new DeskroundError(
    "usage",
    `${strip === undefined ? section : `Strip ${strip}`} has no ${named.name}, by the strip-down book.`,
    `These have one: ${owners.join(", ")}. Nothing was written.`,
  );
}

/** Whether a name is misspelt by a letter or two, and so not another name chosen on purpose. */
function isSlip(written: string, name: string): boolean {
  return (
    Math.abs(written.length - name.length) <= 2 &&
    findClosestWord(written.slice(0, 4), [name.slice(0, 4)]) !== undefined
  );
}

function createOffLine(
  request: NoteHead,
  place: DeskPlace,
  what: string,
  how: "off" | "unplugged",
  fixings: readonly CountedPart[],
): Extract<NewNote, { kind: "off" }> {
  return {
    ...createNoteHead(request),
    kind: "off",
    ...place,
    what,
    ...(how === "unplugged" ? { how } : {}),
    ...(fixings.length === 0 ? {} : { fixings: fixings.map((one) => ({ ...one })) }),
    text: "",
  };
}

function isSame(one: StillOff, place: DeskPlace, what: string): boolean {
  return one.place === formatPlace(place) && normalizeName(one.what) === normalizeName(what);
}

function isOff(line: Extract<NewNote, { kind: "off" }>, notebook: Notebook): boolean {
  return listStillOff(notebook).some(
    (one) => one.state !== "fixings" && isSame(one, line, line.what),
  );
}

export interface CountRequest extends NoteHead {
  /** `n12`, a place, or `all`. */
  readonly which: string;
  /** Each as `4x M3x8`; everything complete if empty. */
  readonly found: readonly string[];
}

/**
 * Notes how many fixings are back in.
 *
 * @throws DeskroundError `usage` if no such thing came off, or a fixing is unknown
 */
export function countFixings(request: CountRequest): OpeningResult {
  const desk = readDesk(request.desk);
  const notebook = readNotebook(getDeskFolder(request.desk));
  const open = findOpening(notebook);
  const withFixings = listOffEntries(notebook).filter(
    ({ line, id }) =>
      (line.fixings ?? []).length > 0 &&
      (open?.still.some(({ note }) => note === id) || open?.back.some(({ note }) => note === id)),
  );
  const { which } = request;
  const isNote = /^n\d+[b-z]*$/i.test(which.trim());
  const place = isNote || which === "all" ? "" : formatPlace(parsePlace(which, desk));
  const meant = withFixings.filter(
    ({ id, line }) =>
      which === "all" || (isNote ? id === which.trim().toLowerCase() : formatPlace(line) === place),
  );
  if (meant.length === 0) {
    const known = withFixings.map(({ id, line }) => `${id} (${formatPlace(line)}: ${line.what})`);
    throw new DeskroundError(
      "usage",
      `Nothing that came off ${isNote ? `by ${which}` : `at ${which}`} has fixings to be counted.`,
      known.length === 0
        ? `To note fixings: ${formatCommand('opening off 7 bottom cover --fixings "6x M4x10"')}`
        : `There are: ${known.join(", ")}.`,
    );
  }
  if (request.found.length > 0 && meant.length > 1) {
    throw new DeskroundError(
      "usage",
      `More than one thing came off ${which}.`,
      `Name one of them: ${meant.map(({ id }) => id).join(", ")}. Nothing was written.`,
    );
  }
  const lines = meant.map(({ id, line }): NewNote => {
    const own = line.fixings ?? [];
    const counted =
      request.found.length === 0 ? own : request.found.map((text) => parseFound(text, own));
    const found = counted.map(({ what, count }) => ({ what, count }));
    return { ...createNoteHead(request), kind: "count", counts: id, found, text: "" };
  });
  append(request, lines);
  return showOpening(request.desk);
}

function parseFound(text: string, own: readonly CountedPart[]): CountedPart {
  const match = /^(\d{1,3})(?:\s*[x×]\s*(.+))?$/u.exec(text.trim());
  const name = match?.[2]?.trim() ?? (own.length === 1 ? own[0].what : "");
  const known = own.find(({ what }) => normalizeName(what) === normalizeName(name));
  if (match !== null && known !== undefined) return { what: known.what, count: Number(match[1]) };
  throw new DeskroundError(
    "usage",
    `"${text}" is not one of the fixings that came off.`,
    `They are: ${own.map(({ what, count }) => `${count}x ${what}`).join(", ")}. Nothing was written.`,
  );
}

/**
 * Ends an opening if everything is back on.
 *
 * @returns what is still off; if anything is, nothing is written
 * @throws DeskroundError `usage` if no opening is in progress
 */
export function endOpening(request: NoteHead): OpeningResult & { readonly ended: boolean } {
  const now = showOpening(request.desk);
  if (now.opening === undefined) {
    throw new DeskroundError(
      "usage",
      "No opening is in progress.",
      `\`${formatCommand("opening start")}\` begins one.`,
    );
  }
  if (now.opening.still.length > 0) return { ...now, ended: false };
  append(request, [{ ...createNoteHead(request), kind: "opening", event: "end", text: "" }]);
  return { ...showOpening(request.desk), ended: true };
}

function createStart(request: NoteHead): NewNote {
  return { ...createNoteHead(request), kind: "opening", event: "start", text: "" };
}

function append({ desk }: NoteHead, lines: readonly NewNote[]) {
  return appendToNotebook(getDeskFolder(desk), lines);
}
