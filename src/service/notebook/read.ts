import { join } from "node:path";
import { pickPlace } from "../../desk/place.js";
import { DeskroundError } from "../../errors.js";
import { readWithdrawn } from "../../history/withdrawn.js";
import { readRegularFile } from "../../read-regular-file.js";
import { type NoteLine, noteLineSchema } from "./schema.js";
import type { DamagedLine, Entry, LogLine, Notebook } from "./types.js";

export const notebookName = "notebook.jsonl";

/** Bytes; far more than decades of notes. */
const largestNotebook = 50_000_000;

/** The notebook file in a desk's folder. */
export function getNotebookFile(folder: string): string {
  return join(folder, notebookName);
}

/**
 * Reads a desk's notebook; if there is none, it is empty. Notes closed by a withdrawn round are
 * open again.
 *
 * @param folder the desk's folder
 * @throws DeskroundError `notebook-file` if the file cannot be read; a damaged line is only listed
 * and skipped; `round-file` if the list of withdrawn rounds cannot be read
 */
export function readNotebook(folder: string): Notebook {
  const file = getNotebookFile(folder);
  let bytes: Buffer;
  try {
    bytes = readRegularFile(file, largestNotebook);
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") return parseNotebook(new Uint8Array(), file);
    throw new DeskroundError(
      "notebook-file",
      `The notebook ${file} cannot be read: ${code ?? (error as Error).message}.`,
      "Check the file and its permissions.",
      error,
    );
  }
  return parseNotebook(bytes, file, readWithdrawn(folder));
}

/**
 * The same for the file's bytes.
 *
 * @param file for messages
 *
 * @param setAside ids of withdrawn rounds
 */
export function parseNotebook(
  bytes: Uint8Array,
  file: string,
  setAside: { readonly has: (round: string) => boolean } = new Set<string>(),
): Notebook {
  const damaged: DamagedLine[] = [];
  const entries = new Map<string, Entry>();
  const withdrawn = new Set<string>();
  const log: { id: string; line: LogLine; at: number }[] = [];
  const closings: Extract<NoteLine, { kind: "close" }>[] = [];
  const ids: Ids = { byKey: new Map(), uses: new Map() };
  let lastNumber = 0;
  for (const { line, at } of noteLines(bytes, damaged)) {
    lastNumber = Math.max(lastNumber, Number(line.id.slice(1)));
    if (line.kind === "correct") {
      const entry = entries.get(meantId(line.corrects, line.correctsKey, ids));
      if (entry === undefined) {
        damaged.push({ at, reason: `it corrects ${line.corrects}, but that cannot be read` });
      } else if (line.withdrawn) withdrawn.add(entry.id);
      else entries.set(entry.id, applyCorrection(entry, line));
    } else if (line.kind === "close") {
      if (line.round !== undefined && setAside.has(line.round)) continue;
      if (line.closes === undefined) {
        closings.push(line);
        continue;
      }
      const entry = entries.get(meantId(line.closes, line.closesKey, ids));
      if (entry !== undefined) entries.set(entry.id, { ...entry, closed: line });
      else damaged.push({ at, reason: `it closes ${line.closes}, but that cannot be read` });
    } else if (line.kind === "count") {
      const entry = entries.get(meantId(line.counts, line.countsKey, ids));
      if (entry !== undefined) entries.set(entry.id, withCount(entry, line));
      else
        damaged.push({
          at,
          reason: `it counts what ${line.counts} took off, but that cannot be read`,
        });
    } else if (line.key === undefined || !ids.byKey.has(line.key)) {
      const id = freeId(line.id, ids);
      if (line.key !== undefined) ids.byKey.set(line.key, id);
      if (line.kind === "opening" || line.kind === "stock") log.push({ id, line, at });
      else entries.set(id, { id, line, at, corrections: [] });
    }
    // A line with a known key is in both of two notebooks that were merged.
  }
  return {
    file,
    entries: [...entries.values()].filter(({ id }) => !withdrawn.has(id)),
    closings,
    log,
    damaged: damaged.sort((a, b) => a.at - b.at),
    lastNumber,
  };
}

function withCount(entry: Entry, { found }: Extract<NoteLine, { kind: "count" }>): Entry {
  const counted = new Map(entry.counted);
  for (const { what, count } of found) counted.set(what, count);
  return { ...entry, counted };
}

/** Ids of the lines read so far. */
interface Ids {
  /** Ids by the keys of their lines. */
  readonly byKey: Map<string, string>;
  /** How many lines took a number. */
  readonly uses: Map<string, number>;
}

/** The id of the line that is meant: by its key if given, since numbers may collide. */
function meantId(id: string, key: string | undefined, { byKey }: Ids): string {
  return key === undefined ? id : (byKey.get(key) ?? "");
}

/**
 * Two writers at the same time, or on two computers, may use the same number. The second gets a
 * letter after it, which is permanent, because the file only grows.
 */
function freeId(id: string, { uses }: Ids): string {
  const earlier = uses.get(id) ?? 0;
  uses.set(id, earlier + 1);
  if (earlier === 0) return id;
  return id + letters.charAt((earlier - 1) % 25).repeat(Math.ceil(earlier / 25));
}

const letters = "bcdefghijklmnopqrstuvwxyz";

type Correction = Extract<NoteLine, { kind: "correct" }>;

/** An entry after a correction. */
function applyCorrection(entry: Entry, line: Correction): Entry {
  const { closed, ...rest } = entry;
  return {
    ...rest,
    ...(closed === undefined || line.reopened ? {} : { closed }),
    line: correctLine(entry.line, line),
    corrections: [...entry.corrections, line],
  };
}

function correctLine(line: Entry["line"], correction: Correction): Entry["line"] {
  const { text, noticed, control, symptom, values, part, wholeDesk } = correction;
  const placed = wholeDesk || correction.strip !== undefined || correction.section !== undefined;
  const changed: Entry["line"] = {
    ...(placed ? { ...withoutPlace(line), ...pickPlace(correction) } : line),
    ...(text === undefined ? {} : { text }),
    ...(noticed === undefined ? {} : { date: noticed }),
  };
  if (changed.kind === "fault") {
    const { control: oldControl, symptom: oldSymptom, ...rest } = changed;
    const newControl = control === undefined ? oldControl : (control ?? undefined);
    const newSymptom = symptom === undefined ? oldSymptom : (symptom ?? undefined);
    return {
      ...rest,
      ...(newControl === undefined ? {} : { control: newControl }),
      ...(newSymptom === undefined ? {} : { symptom: newSymptom }),
    };
  }
  if (changed.kind !== "meter") return changed;
  const fresh = values ?? [];
  return {
    ...changed,
    values: [
      ...changed.values.map((old) => fresh.find(({ at }) => at === old.at) ?? old),
      ...fresh.filter(({ at }) => changed.values.every((old) => old.at !== at)),
    ],
    ...(part === undefined ? {} : { part }),
  };
}

function withoutPlace<L extends Entry["line"]>(line: L): L {
  const { strip: _, input: __, section: ___, sectionKind: ____, ...rest } = line;
  return rest as L;
}

/** Every readable line, with its number; the others are added to `damaged`. */
function* noteLines(
  bytes: Uint8Array,
  damaged: DamagedLine[],
): Generator<{ readonly line: NoteLine; readonly at: number }> {
  let start = 0;
  for (let at = 1; start < bytes.length; at++) {
    const newline = bytes.indexOf(0x0a, start);
    const end = newline < 0 ? bytes.length : newline;
    const text = decoded(bytes.subarray(start, end));
    start = end + 1;
    if (text?.trim() === "") continue;
    const found = text === undefined ? "it is not in UTF-8" : parsedLine(text);
    if (typeof found !== "string") {
      yield { line: found, at };
      continue;
    }
    // After a line left unfinished by a crash, another writer's complete line may follow.
    const behind = text === undefined ? undefined : lineBehind(text);
    damaged.push({ at, reason: behind ? "it begins with an unfinished line" : found });
    if (behind) yield { line: behind, at };
  }
}

/** Beginning of every line; it cannot occur inside a JSON text, where quotes are escaped. */
export const lineStart = '{"note":';

function lineBehind(text: string): NoteLine | undefined {
  const start = text.lastIndexOf(lineStart);
  if (start <= 0) return undefined;
  const found = parsedLine(text.slice(start));
  return typeof found === "string" ? undefined : found;
}

function decoded(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** The parsed line, or why it is invalid. */
function parsedLine(text: string): NoteLine | string {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return "it is not complete JSON";
  }
  const { note, kind } = Object(data) as { note?: unknown; kind?: unknown };
  if (typeof note === "number" && note > 1) return "a newer deskround wrote it";
  const result = noteLineSchema.safeParse(data);
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  const place = issue?.path.join(".") ?? "";
  if (note === undefined || kind === undefined) return "it is not a notebook entry";
  return `${place === "" ? "it" : `"${place}"`} is not valid (${issue?.message})`;
}
