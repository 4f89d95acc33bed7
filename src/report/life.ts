import { getReadingName } from "../measure/reading-kinds.js";
import type { LifeFact, LifeTrend, StripLife } from "../service/plan/life.js";
import { formatChange } from "../text/format-signed.js";
import { formatMeterValues } from "./meter/format-meter.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** The life of a strip, oldest first. */
export function renderLife(desk: string, life: StripLife, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const lines = [strong(`Strip ${life.strip} of ${desk}`), ""];
  if (life.events.length === 0) lines.push("Nothing is known about it yet: no round, no note.");
  return [...lines, ...listLifeLines(life, width), ""].join("\n");
}

/** What happened to a strip, the parts used, and its trends. */
export function listLifeLines(
  { events, parts, trends, ageing }: StripLife,
  width: number,
): readonly string[] {
  const lines: string[] = [];
  for (const { date, kind, fact } of events) {
    lines.push(
      ...wrapText(formatLifeFact(fact), width, `${date}  ${kind.padEnd(8)} `, " ".repeat(21)),
    );
  }
  if (parts.length > 0) {
    const words = parts.map(({ what, count }) => `${count} × ${what}`).join(", ");
    lines.push("", ...wrapText(`Parts so far: ${words}.`, width));
  }
  if (trends.length > 0 || ageing !== undefined) lines.push("");
  for (const trend of trends)
    lines.push(...wrapText(formatLifeTrend(trend), width, "trend    ", "         "));
  if (ageing !== undefined) {
    const text = `electrolytics from ${ageing.since}: due about ${ageing.due}, after ${ageing.years} years, by rule of thumb (common practice)`;
    lines.push(...wrapText(text, width, "ageing   ", "         "));
  }
  return lines;
}

/** A life with its words beside the data, as `--json` prints it. */
export function wordLife(life: StripLife): object {
  return {
    ...life,
    events: life.events.map((event) => ({
      date: event.date,
      kind: event.kind,
      words: formatLifeFact(event.fact),
      fact: event.fact,
    })),
    trends: life.trends.map(formatLifeTrend),
    worsening: life.trends,
  };
}

type Wording = {
  readonly [C in LifeFact["code"]]: (fact: Extract<LifeFact, { code: C }>) => string;
};

const wording: Wording = {
  round: ({ round, measured, of, odd }) => {
    const found = odd.map(({ input, standing, cause, finding }) => {
      const why = cause === undefined ? "" : `: ${cause}`;
      return `${input} ${standing}${why} (${finding})`;
    });
    if (found.length > 0) return `${round}: ${found.join("; ")}`;
    return measured === 0
      ? `${round}: not measured`
      : `${round}: ${measured} of ${of} paths measured, nothing stands out`;
  },
  noted: ({ note, input, tags, text }) =>
    `${note} ${at(input)}${[tags.join(", "), text].filter(Boolean).join(": ")}`,
  "left-alone": ({ note, input, text }) => `${note} ${at(input)}left alone: ${text}`,
  check: ({ note, input, check, outcome }) => `${note} ${at(input)}${check} turned, ${outcome}`,
  meter: ({ note, line: { what, part, values } }) =>
    `${note} ${what}${part === undefined ? "" : ` ${part}`}: ${formatMeterValues(values)}`,
  repair: ({ input, text, parts }) =>
    [`${at(input)}${text}`, ...parts.map(({ what, count }) => `${count} × ${what}`)]
      .filter(Boolean)
      .join("; "),
  off: ({ input, what }) => `${at(input)}off: ${what}`,
  closed: ({ note, text, figures }) => {
    const proof = figures.join("; ");
    const why = text !== "" && proof !== "" ? `${text} (${proof})` : `${text}${proof}`;
    return note === undefined ? why : `${note} ${why}`;
  },
};

/** What happened to a strip, on one line. */
export function formatLifeFact(fact: LifeFact): string {
  return (wording[fact.code] as (fact: LifeFact) => string)(fact);
}

function at(input: string | undefined): string {
  return input === undefined ? "" : `${input}: `;
}

/** "7/mic: noise +0.4 dB a year; at its limit about 2041". */
export function formatLifeTrend({ path, reading, perYear, unit, atLimit }: LifeTrend): string {
  const name = getReadingName(reading);
  const when = atLimit === undefined ? "" : `; at its limit about ${atLimit.slice(0, 4)}`;
  return `${path}: ${name} ${formatChange(String(Number(perYear.toPrecision(2))))} ${unit} a year${when}`;
}
