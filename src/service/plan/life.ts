import type { RoundFacts } from "../../history/facts/types.js";
import {
  createStandingReader,
  listSeriousFindings,
  type Standing,
} from "../../history/standing.js";
import type { Trends } from "../../history/trend/types.js";
import { collapseSpace } from "../../text/collapse-space.js";
import type { MeterLine } from "../meter/judge.js";
import type { Entry, Notebook } from "../notebook/types.js";
import type { CapacitorLife } from "./ageing.js";

/** An event of a strip, as data; `report/life.ts` has the words. */
export type LifeFact =
  | {
      readonly code: "round";
      readonly round: string;
      readonly measured: number;
      readonly of: number;
      /** Paths with findings, with the largest finding of each. */
      readonly odd: readonly {
        readonly input: string;
        readonly standing: Standing;
        readonly cause?: string;
        readonly finding: string;
      }[];
    }
  | {
      readonly code: "noted";
      readonly note: string;
      readonly input?: string;
      readonly tags: readonly string[];
      readonly text: string;
    }
  | {
      readonly code: "left-alone";
      readonly note: string;
      readonly input?: string;
      readonly text: string;
    }
  | {
      readonly code: "check";
      readonly note: string;
      readonly input?: string;
      readonly check: string;
      readonly outcome: string;
    }
  | { readonly code: "meter"; readonly note: string; readonly line: MeterLine }
  | {
      readonly code: "repair";
      readonly input?: string;
      readonly text: string;
      readonly parts: StripLife["parts"];
    }
  | { readonly code: "off"; readonly input?: string; readonly what: string }
  | {
      readonly code: "closed";
      /** Absent if a re-test closed a finding that was never noted. */
      readonly note?: string;
      readonly text: string;
      readonly figures: readonly string[];
    };

/** Something that happened to a strip. */
export interface LifeEvent {
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly kind: "round" | "re-test" | "noted" | "meter" | "done" | "closed";
  readonly fact: LifeFact;
}

/** A reading that gets worse from year to year. */
export interface LifeTrend {
  readonly path: string;
  readonly reading: string;
  /** In `unit` a year. */
  readonly perYear: number;
  readonly unit: string;
  /** When it reaches its limit, ISO 8601; absent if that is not foreseeable. */
  readonly atLimit?: string;
}

/** The history of one strip: faults, repairs, parts and readings over the years. */
export interface StripLife {
  readonly strip: string;
  readonly events: readonly LifeEvent[];
  /** Parts used, with their numbers. */
  readonly parts: readonly { readonly what: string; readonly count: number }[];
  /** Readings with a trend. */
  readonly trends: readonly LifeTrend[];
  readonly ageing?: CapacitorLife;
}

/**
 * The history of a strip from all rounds and the notebook.
 *
 * @param rounds oldest first
 * @param trends of the desk; undefined if there are too few rounds for any
 */
export function buildStripLife(
  strip: string,
  rounds: readonly RoundFacts[],
  notebook: Notebook,
  trends: Trends | undefined,
  ageing: CapacitorLife | undefined,
): StripLife {
  const own = notebook.entries.filter(({ line }) => line.strip === strip);
  const events: LifeEvent[] = [
    ...rounds.flatMap((round) => roundEvents(strip, round)),
    ...own.map(
      ({ id, line }): LifeEvent => ({
        date: line.date.slice(0, 10),
        ...describeLine(id, line),
      }),
    ),
    ...own.flatMap(({ id, closed }): LifeEvent[] =>
      closed === undefined || closed.what !== undefined ? [] : [describeClosing(closed, id)],
    ),
    ...notebook.closings
      .filter((line) => line.strip === strip)
      .map((line): LifeEvent => describeClosing(line)),
  ];
  const parts = new Map<string, number>();
  for (const { line } of own) {
    if (line.kind !== "repair") continue;
    for (const { what, count } of line.parts) parts.set(what, (parts.get(what) ?? 0) + count);
  }
  const order = ["round", "noted", "meter", "done", "re-test", "closed"];
  return {
    strip,
    events: events.sort(
      (a, b) => a.date.localeCompare(b.date) || order.indexOf(a.kind) - order.indexOf(b.kind),
    ),
    parts: [...parts].map(([what, count]) => ({ what, count })),
    trends: (trends?.paths ?? [])
      .filter((trend) => trend.strip === strip && trend.significant && trend.course === "worse")
      .map(({ path, reading, perYear, unit, crossing }) => ({
        path,
        reading,
        perYear,
        unit,
        ...(crossing === undefined ? {} : { atLimit: crossing.date }),
      })),
    ...(ageing === undefined ? {} : { ageing }),
  };
}

function describeLine(note: string, line: Entry["line"]): Omit<LifeEvent, "date"> {
  const text = collapseSpace(line.text);
  const at = line.input === undefined ? {} : { input: line.input };
  switch (line.kind) {
    case "meter":
      return { kind: "meter", fact: { code: "meter", note, line } };
    case "repair":
      return { kind: "done", fact: { code: "repair", ...at, text, parts: line.parts } };
    case "accept":
      return { kind: "noted", fact: { code: "left-alone", note, ...at, text } };
    case "check": {
      const { check, outcome } = line;
      return { kind: "noted", fact: { code: "check", note, ...at, check, outcome } };
    }
    case "off":
      return { kind: "done", fact: { code: "off", ...at, what: line.what } };
    default: {
      const tags = [line.control, line.symptom].filter((word) => word !== undefined);
      return { kind: "noted", fact: { code: "noted", note, ...at, tags, text } };
    }
  }
}

function describeClosing(line: Notebook["closings"][number], note?: string): LifeEvent {
  const { date, text, figures } = line;
  const which = note === undefined ? {} : { note };
  return {
    date: date.slice(0, 10),
    kind: "closed",
    fact: { code: "closed", ...which, text, figures },
  };
}

function roundEvents(strip: string, round: RoundFacts): readonly LifeEvent[] {
  const paths = round.paths.filter((path) => path.strip === strip);
  if (paths.length === 0) return [];
  const standing = createStandingReader(round);
  const odd = paths.flatMap((path) => {
    const [finding] = listSeriousFindings(path);
    if (finding === undefined) return [];
    const [first] = path.causes;
    const cause = first === undefined ? {} : { cause: first.name };
    return [
      { input: path.input, standing: standing(path), ...cause, finding: finding.words ?? "" },
    ];
  });
  const measured = paths.filter(({ status }) => status === "measured").length;
  return [
    {
      date: round.date.slice(0, 10),
      kind: round.partial === undefined ? "round" : "re-test",
      fact: { code: "round", round: round.id, measured, of: paths.length, odd },
    },
  ];
}
