import { findClosestWord } from "../../desk/paths.js";
import { type DeskPlace, parsePlace } from "../../desk/place.js";
import type { Desk } from "../../desk/types.js";
import { type Control, controls, type Symptom, symptoms } from "../../diagnose/note-vocabulary.js";
import { DeskroundError } from "../../errors.js";
import { readRegularFile, UnreadableFileError } from "../../read-regular-file.js";
import { parseDay } from "../../text/parse-day.js";

/** A note from a file that somebody kept. */
export interface ImportedNote extends DeskPlace {
  /** YYYY-MM-DD, when the file says it. */
  readonly day?: string;
  readonly who?: string;
  readonly control?: Control;
  readonly symptom?: Symptom;
  readonly text: string;
  /** The line as written, if ambiguous: `10 dB louder` need not be strip 10. */
  readonly doubt?: string;
}

/** Bytes; far more than years of notes. */
const largestFile = 5_000_000;

/**
 * Reads notes from a text of lines such as `6/mic: hum since the move`, with or without a day
 * before it, or from a spreadsheet's CSV whose first line names its columns.
 *
 * @param file its name ends with .csv or .tsv for a spreadsheet, with anything else for a text
 * @throws DeskroundError `usage`, naming file and line of the first fault
 */
export async function readImportedNotes(
  file: string,
  desk: Desk,
): Promise<readonly ImportedNote[]> {
  const text = fileText(file);
  const notes = /\.(csv|tsv)$/i.test(file)
    ? await fromTable(text, file, desk)
    : fromLines(text, file, desk);
  if (notes.length > 0) return notes;
  throw new DeskroundError("usage", `${file} contains no notes.`, formHint);
}

const formHint =
  "A text file has one note per line, for example `2031-03-14 6/mic: hum`; a .csv file begins with the names of its columns: date, strip, input, text.";

/** Whether it is a spreadsheet workbook: a zip archive or compound file, by its first bytes. */
function isSpreadsheet(bytes: Uint8Array): boolean {
  const head = Buffer.from(bytes.subarray(0, 4)).toString("hex");
  return head === "504b0304" || head === "d0cf11e0";
}

function fileText(file: string): string {
  let bytes: Buffer;
  try {
    bytes = readRegularFile(file, largestFile);
  } catch (error) {
    if (error instanceof UnreadableFileError) {
      const why = error.reason === "size" ? "too large to be notes" : "not a regular file";
      throw new DeskroundError("usage", `${file} is ${why}.`, formHint);
    }
    const { code } = error as NodeJS.ErrnoException;
    throw code === "ENOENT" || code === "ENOTDIR"
      ? new DeskroundError(
          "no-such-file",
          `${file}: there is no such file.`,
          "Check the name and the folder.",
          error,
        )
      : new DeskroundError("no-such-file", `Cannot read ${file} (${code}).`, formHint, error);
  }
  if (isSpreadsheet(bytes) || /\.(xlsx?|ods|numbers)$/i.test(file)) {
    throw new DeskroundError(
      "usage",
      `${file} is a spreadsheet, which is not read.`,
      "In the spreadsheet choose Save as, CSV (UTF-8), with the first line date, strip, input, text; then import that file.",
    );
  }
  if (/\.ya?ml$/i.test(file)) {
    throw new DeskroundError("usage", `${file} is a settings file, not a list of notes.`, formHint);
  }
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch (error) {
    throw new DeskroundError(
      "usage",
      `${file} is not text in UTF-8.`,
      "Save it again from the editor or spreadsheet with the encoding UTF-8.",
      error,
    );
  }
}

/** What begins a line of text, and what is left of it. */
const dayPattern =
  /^(?<day>\d{4}[-/]\d{1,2}[-/]\d{1,2}|\d{1,2}\.\d{1,2}\.\d{2,4}|\d{1,2}\/\d{1,2}\/\d{2,4})[\s:,;]+/;
const timePattern = /^\d{1,2}[:.h]\d{2}(?!\d)/i;
const placePattern =
  /^(?<named>(?:strip\s+|#))?(?<place>[^\s:,;#]+)(?<sign>\s*[:,;\t]\s*|\s+[-–—]\s+|\s+)(?<text>.*\S)\s*$/iu;
/** Words and signs that join strips in a list. */
const joinPattern = /^(?:and|or|to|&|\+|[-–—,;])\s*/i;

function fromLines(text: string, file: string, desk: Desk): readonly ImportedNote[] {
  const seen = new Map<string, boolean>();
  const isPlace = (word: string): boolean => {
    const known = seen.get(word) ?? hasPlace(word, desk);
    seen.set(word, known);
    return known;
  };
  return text.split(/\r?\n/).flatMap((whole, k) => {
    const line = whole.trim();
    if (line === "" || isRemark(line, isPlace)) return [];
    return [fromLine(`${file} line ${k + 1}`, line, desk, isPlace)];
  });
}

/** `# from the pad` is a remark, `#7: dead` a note about strip 7. */
function isRemark(line: string, isPlace: (word: string) => boolean): boolean {
  if (!line.startsWith("#")) return false;
  return !isPlace(placePattern.exec(line)?.groups?.place ?? "");
}

function fromLine(
  where: string,
  line: string,
  desk: Desk,
  isPlace: (word: string) => boolean,
): ImportedNote {
  const day = dayPattern.exec(line);
  const rest = line.slice(day?.[0].length ?? 0);
  if (timePattern.test(rest)) {
    throw new DeskroundError(
      "usage",
      `${where} begins with a time, which could be taken for a strip: "${shorten(rest)}".`,
      "Put the time into the words, as in `6/mic: hum at 14:30`. Nothing was imported.",
    );
  }
  const groups = placePattern.exec(rest)?.groups;
  if (groups === undefined) {
    throw new DeskroundError(
      "usage",
      `${where}: no strip followed by words: "${shorten(line)}".`,
      formHint,
    );
  }
  const { named, place, sign, text } = groups;
  const found = note(where, desk, { date: day?.groups?.day, strip: place, text });
  if (sign.includes(":")) return found;
  const [next = "", after = ""] = splitWord(text.replace(joinPattern, ""));
  const joined = joinPattern.test(text) || /[,;\-–—]/.test(sign);
  if (isPlace(next) && (/^[:,;]/.test(after) || (joined && joinPattern.test(after.trim())))) {
    throw new DeskroundError(
      "usage",
      `${where} names more than one strip: "${shorten(line)}".`,
      "Write one line for each strip. Nothing was imported.",
    );
  }
  const isSure =
    (named !== undefined || place.includes("/") || sign.trim() !== "") && !isPlace(next);
  return isSure ? found : { ...found, doubt: `${where}: "${shorten(line)}"` };
}

/** The first word, and all that follows it. */
function splitWord(text: string): readonly [string?, string?] {
  const match = /^([^\s:,;]+)(.*)$/s.exec(text);
  return match === null ? [] : [match[1], match[2]];
}

function hasPlace(word: string, desk: Desk): boolean {
  try {
    return word !== "" && parsePlace(word, desk).strip !== undefined;
  } catch {
    return false;
  }
}

function shorten(text: string): string {
  return text.length > 60 ? `${text.slice(0, 60)}…` : text;
}

const columns = ["date", "strip", "input", "text", "control", "symptom", "who"] as const;
type Row = Partial<Record<(typeof columns)[number], string | undefined>>;

async function fromTable(text: string, file: string, desk: Desk): Promise<readonly ImportedNote[]> {
  const { parse } = await import("csv-parse/sync");
  let records: { record: string[]; info: { lines: number } }[];
  try {
    records = parse(text, {
      bom: true,
      delimiter: delimiterOf(text),
      info: true,
      relax_column_count: true,
      skip_empty_lines: true,
    }) as unknown as typeof records;
  } catch (error) {
    throw new DeskroundError(
      "usage",
      `${file} is not readable as CSV: ${error instanceof Error ? error.message : error}.`,
      "Save it again from the spreadsheet.",
      error,
    );
  }
  const [first, ...rows] = records;
  const names = (first?.record ?? []).map((name) => name.trim().toLowerCase());
  requireColumns(names, file);
  return rows.flatMap(({ record, info }) => {
    if (record.every((cell) => cell.trim() === "")) return [];
    const where = `${file} line ${info.lines}`;
    const lost = record.findIndex((cell, k) => cell.trim() !== "" && (names[k] ?? "") === "");
    if (lost >= 0) {
      throw new DeskroundError(
        "usage",
        `${where}: "${shorten(record[lost].trim())}" is in a column that has no name.`,
        "Name the column in the first line; words with a comma in them must be in quotes. Nothing was imported.",
      );
    }
    const row = Object.fromEntries(names.map((name, k) => [name, record[k]])) as Row;
    return [note(where, desk, row)];
  });
}

/** Spreadsheets put a semicolon where the comma is the decimal sign. */
function delimiterOf(text: string): string {
  const [first = ""] = text.split("\n", 1);
  const counts = [",", ";", "\t"].map((sign) => ({ sign, count: first.split(sign).length }));
  return counts.reduce((best, one) => (one.count > best.count ? one : best)).sign;
}

function requireColumns(names: readonly string[], file: string): void {
  const stranger = names.find(
    (name) => name !== "" && !(columns as readonly string[]).includes(name),
  );
  if (stranger !== undefined) {
    const like = findClosestWord(stranger, columns);
    throw new DeskroundError(
      "usage",
      `${file} line 1: no column is called "${stranger}".`,
      `${like === undefined ? "" : `Did you mean ${like}? `}Columns: ${columns.join(", ")}.`,
    );
  }
  const doubled = names.find((name, k) => name !== "" && names.indexOf(name) < k);
  if (doubled !== undefined) {
    throw new DeskroundError(
      "usage",
      `${file} line 1: two columns are called "${doubled}".`,
      "Rename one of them or put their cells together. Nothing was imported.",
    );
  }
  const missing = ["strip", "text"].find((name) => !names.includes(name));
  if (missing !== undefined) {
    throw new DeskroundError(
      "usage",
      `${file} line 1: the column "${missing}" is missing.`,
      formHint,
    );
  }
}

function note(where: string, desk: Desk, row: Row): ImportedNote {
  const {
    date = "",
    strip = "",
    input = "",
    text = "",
    control = "",
    symptom = "",
    who = "",
  } = row;
  const wanted = input.trim() === "" ? strip : `${strip.trim()}/${input.trim()}`;
  const place = placed(where, wanted, desk);
  const day = readDay(where, date.trim());
  const known = {
    control: word(where, control, controls),
    symptom: word(where, symptom, symptoms),
  };
  if (text.trim() === "" && known.control === undefined && known.symptom === undefined) {
    throw new DeskroundError("usage", `${where}: no words about strip ${strip}.`, formHint);
  }
  if (who.trim().length > 60) {
    throw new DeskroundError(
      "usage",
      `${where}: the name "${shorten(who.trim())}" is too long.`,
      "Up to 60 characters. Nothing was imported.",
    );
  }
  return {
    ...place,
    ...(day === "" ? {} : { day }),
    ...(who.trim() === "" ? {} : { who: who.trim() }),
    ...(known.control === undefined ? {} : { control: known.control }),
    ...(known.symptom === undefined ? {} : { symptom: known.symptom }),
    text,
  };
}

function placed(where: string, text: string, desk: Desk): DeskPlace {
  try {
    return parsePlace(text, desk);
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    throw new DeskroundError(
      "usage",
      `${where}: ${error.message}`,
      `${error.hint} Nothing was imported.`,
    );
  }
}

function word<W extends string>(where: string, text: string, words: readonly W[]): W | undefined {
  const wanted = text.trim().toLowerCase();
  if (wanted === "") return undefined;
  const found = words.find((one) => one === wanted);
  if (found !== undefined) return found;
  const like = findClosestWord(wanted, words);
  throw new DeskroundError(
    "usage",
    `${where}: "${text.trim()}" is not on the list.`,
    `${like === undefined ? "" : `Did you mean ${like}? `}The list: ${words.join(", ")}.`,
  );
}

/** The day as YYYY-MM-DD; empty if none is given. */
function readDay(where: string, text: string): string {
  if (text === "") return "";
  const parsed = parseDay(text);
  if ("day" in parsed) return parsed.day;
  throw new DeskroundError(
    "usage",
    `${where}: "${shorten(text)}" cannot be read as a date.`,
    `${parsed.fault} Nothing was imported.`,
  );
}
