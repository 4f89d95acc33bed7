import { pickPlace } from "../../desk/place.js";
import type { NoteLines } from "./read-note-lines.js";
import type { NoteLine } from "./schema.js";
import type { DamagedLine, Entry, LogLine, Notebook } from "./types.js";

/**
 * The notebook that its lines are: notes with what was corrected, closed and counted later.
 *
 * @param file for messages
 * @param setAside ids of withdrawn rounds, whose closings do not count
 */
export function joinNoteLines(
  read: NoteLines,
  file: string,
  setAside: { readonly has: (round: string) => boolean },
): Notebook {
  const damaged: DamagedLine[] = [...read.damaged];
  const entries = new Map<string, Entry>();
  const withdrawn = new Set<string>();
  const log: { id: string; line: LogLine; at: number }[] = [];
  const closings: Extract<NoteLine, { kind: "close" }>[] = [];
  const ids: Ids = { byKey: new Map(), uses: new Map() };
  let lastNumber = 0;
  for (const { line, at } of read.lines) {
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
