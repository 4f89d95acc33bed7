import type { RoundFacts } from "../../history/facts/types.js";
import { createStandingReader, listSeriousFindings } from "../../history/standing.js";
import type { Trends } from "../../history/trend/types.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { Notebook } from "../notebook/types.js";
import type { CapacitorLife } from "./ageing.js";
import { formatMeterLine } from "./items.js";

/** Something that happened to a strip. */
export interface LifeEvent {
  /** YYYY-MM-DD. */
  readonly date: string;
  readonly kind: "round" | "re-test" | "noted" | "meter" | "done" | "closed";
  readonly words: string;
}

/** The life of one strip: faults, repairs, parts and readings over the years. */
export interface StripLife {
  readonly strip: string;
  readonly events: readonly LifeEvent[];
  /** Parts that it took, with how many. */
  readonly parts: readonly { readonly what: string; readonly count: number }[];
  /** Readings that go somewhere, in words. */
  readonly trends: readonly string[];
  readonly ageing?: CapacitorLife;
}

/**
 * Tells the life of a strip from all rounds and the notebook.
 *
 * @param rounds oldest first
 * @param trends of the desk; undefined where there are too few rounds for any
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
    ...own.map(({ id, line }): LifeEvent => {
      const date = line.date.slice(0, 10);
      const text = line.text.replace(/\s+/g, " ").trim();
      const where = line.input === undefined ? "" : `${line.input}: `;
      if (line.kind === "meter")
        return { date, kind: "meter", words: `${id} ${formatMeterLine(line)}` };
      if (line.kind === "repair") {
        const parts = line.parts.map(({ what, count }) => `${count} × ${what}`);
        return {
          date,
          kind: "done",
          words: [`${where}${text}`, ...parts].filter(Boolean).join("; "),
        };
      }
      if (line.kind === "accept") {
        return { date, kind: "noted", words: `${id} ${where}left alone: ${text}` };
      }
      if (line.kind === "check") {
        return {
          date,
          kind: "noted",
          words: `${id} ${where}${line.check} turned, ${line.outcome}`,
        };
      }
      if (line.kind === "off") return { date, kind: "done", words: `${where}off: ${line.what}` };
      const tags = [line.control, line.symptom].filter((word) => word !== undefined).join(", ");
      return {
        date,
        kind: "noted",
        words: `${id} ${where}${[tags, text].filter(Boolean).join(": ")}`,
      };
    }),
    ...own.flatMap(({ id, closed }): LifeEvent[] =>
      closed === undefined || closed.what !== undefined
        ? []
        : [
            {
              date: closed.date.slice(0, 10),
              kind: "closed",
              words: `${id} ${closedWords(closed)}`,
            },
          ],
    ),
    ...notebook.closings
      .filter((line) => line.strip === strip)
      .map((line): LifeEvent => {
        return { date: line.date.slice(0, 10), kind: "closed", words: closedWords(line) };
      }),
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
      .map(({ path, reading, perYear, unit, crossing }) => {
        const name = findReadingKind(reading)?.name ?? reading;
        const when =
          crossing === undefined ? "" : `; at its limit about ${crossing.date.slice(0, 4)}`;
        return `${path}: ${name} ${perYear < 0 ? "−" : "+"}${Number(Math.abs(perYear).toPrecision(2))} ${unit} a year${when}`;
      }),
    ...(ageing === undefined ? {} : { ageing }),
  };
}

function closedWords(line: Notebook["closings"][number]): string {
  const proof = line.figures.join("; ");
  return (
    [line.text, proof].filter((part) => part !== "").join(" (") +
    (line.text !== "" && proof !== "" ? ")" : "")
  );
}

function roundEvents(strip: string, round: RoundFacts): readonly LifeEvent[] {
  const paths = round.paths.filter((path) => path.strip === strip);
  if (paths.length === 0) return [];
  const standing = createStandingReader(round);
  const odd = paths.flatMap((path) => {
    const serious = listSeriousFindings(path);
    if (serious.length === 0) return [];
    const [first] = path.causes;
    const cause = first === undefined ? "" : `: ${first.name}`;
    return [`${path.input} ${standing(path)}${cause} (${serious[0].words})`];
  });
  const measured = paths.filter(({ status }) => status === "measured").length;
  const well =
    measured === 0
      ? "not measured"
      : `${measured} of ${paths.length} paths measured, nothing stands out`;
  return [
    {
      date: round.date.slice(0, 10),
      kind: round.partial === undefined ? "round" : "re-test",
      words: `${round.id}: ${odd.length === 0 ? well : odd.join("; ")}`,
    },
  ];
}
