import { formatPlace } from "../../desk/place.js";
import type { Entry, Notebook } from "./types.js";

/** Something that must be back before the desk is closed. */
export interface StillOff {
  /** Id of the note that took it off. */
  readonly note: string;
  /** `7/mic`, `7` or `desk`. */
  readonly place: string;
  readonly what: string;
  /** `off`, `unplugged`; `fixings`: it is back, but not all of its screws are accounted for. */
  readonly state: "off" | "unplugged" | "fixings";
  /** Of `fixings`: which, how many came off, how many were counted; never counted where absent. */
  readonly fixing?: { readonly what: string; readonly count: number; readonly found?: number };
}

type OffLine = Extract<Entry["line"], { kind: "off" }>;

/** Notes of what came off the desk, whether back or not. */
export function listOffEntries({
  entries,
}: Pick<Notebook, "entries">): readonly (Entry & { readonly line: OffLine })[] {
  return entries.filter((entry): entry is Entry & { line: OffLine } => entry.line.kind === "off");
}

/**
 * Everything that came off the desk and is not back: parts, connectors, and fixings not all counted
 * back. The closing gate requires this to be empty.
 */
export function listStillOff(notebook: Pick<Notebook, "entries">): readonly StillOff[] {
  return listOffEntries(notebook).flatMap(({ id, line, closed, counted }): StillOff[] => {
    const { what } = line;
    const one = { note: id, place: formatPlace(line), what };
    if (closed === undefined) return [{ ...one, state: line.how ?? "off" }];
    return (line.fixings ?? []).flatMap((fixing): StillOff[] => {
      const found = counted?.get(fixing.what);
      if (found !== undefined && found >= fixing.count) return [];
      const { what: name, count } = fixing;
      return [
        {
          ...one,
          state: "fixings",
          fixing: { what: name, count, ...(found === undefined ? {} : { found }) },
        },
      ];
    });
  });
}

/** State of an opening of the desk. */
export interface Opening {
  /** Id of the line that began it; absent if things came off without one. */
  readonly id?: string;
  /** YYYY-MM-DD. */
  readonly since: string;
  readonly still: readonly StillOff[];
  /** What came off since and is back with all fixings. */
  readonly back: readonly {
    readonly note: string;
    readonly place: string;
    readonly what: string;
  }[];
}

/** The opening in progress; undefined if the desk is closed. */
export function findOpening(notebook: Pick<Notebook, "entries" | "log">): Opening | undefined {
  const turns = notebook.log.filter(({ line }) => line.kind === "opening");
  const last = turns.at(-1);
  const start = last?.line.kind === "opening" && last.line.event === "start" ? last : undefined;
  const still = listStillOff(notebook);
  if (start === undefined && still.length === 0) return undefined;
  const ids = new Set(still.map(({ note }) => note));
  const off = listOffEntries(notebook);
  const from = start?.at ?? Math.min(...off.flatMap(({ id, at }) => (ids.has(id) ? [at] : [])));
  const own = off.filter(({ at }) => at >= from);
  return {
    ...(start === undefined ? {} : { id: start.id }),
    since: (start?.line.date ?? own[0].line.date).slice(0, 10),
    still,
    back: own
      .filter(({ id }) => !ids.has(id))
      .map(({ id, line }) => ({ note: id, place: formatPlace(line), what: line.what })),
  };
}
