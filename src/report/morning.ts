import { formatHz } from "../diagnose/cause-kind.js";
import type { MorningEntry } from "../history/morning-log.js";
import { findCurveKind } from "../measure/curve-kinds.js";
import { findReadingKind, getReadingId } from "../measure/reading-kinds.js";
import type { MorningChange, MorningComparison } from "../service/morning/compare-mornings.js";
import { findCurvePoint } from "../service/morning/curve-points.js";
import { formatCount } from "../text/format-count.js";
import { formatList } from "../text/format-list.js";
import { sanitizeLine } from "./sanitize.js";
import type { ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** At most this many changes are named; the rest are counted. */
const mostNamed = 3;

/**
 * A morning in one sentence: "All 8 wired paths are as on 2031-03-14."
 *
 * @param paths wired paths that were looked at
 */
export function formatMorningSentence(comparison: MorningComparison, paths: number): string {
  const { against, changes } = comparison;
  const day = against?.slice(0, 10);
  if (changes.length === 0) {
    if (day === undefined) {
      return `First good day: ${formatCount(paths, "wired path")} measured, to compare the next with.`;
    }
    return paths === 1
      ? `The wired path is as on ${day}.`
      : `All ${paths} wired paths are as on ${day}.`;
  }
  if (
    changes.every(({ kind }) => kind === "silent") &&
    changes.length === (comparison.compared || paths) &&
    paths > 1
  ) {
    return "Nothing came back from any wired path: is the desk on, its mix open, the interface connected?";
  }
  const lostPaths = changes.flatMap((one) => (one.kind === "unmeasured" ? [one.path] : []));
  if (lostPaths.length === changes.length) {
    const others = paths - lostPaths.length;
    const lost = `${formatList(lostPaths)} ${lostPaths.length === 1 ? "was" : "were"} not measured (patch or recording)`;
    return day === undefined || others < 1
      ? `${lost}.`
      : `${lost}; the other ${formatCount(others, "wired path")} ${others === 1 ? "is" : "are"} as on ${day}.`;
  }
  const places = groupPlaces(changes);
  const named = places.slice(0, mostNamed).map(formatPlace);
  const more = places.length - mostNamed;
  const rest = more > 0 ? [`${more} more`] : [];
  const lead = day === undefined ? "Not in order" : `Not as on ${day}`;
  return `${lead}: ${[...named, ...rest].join("; ")}.`;
}

/** Groups the changes of one place, its worst change first. */
function groupPlaces(changes: readonly MorningChange[]): readonly (readonly MorningChange[])[] {
  const places = new Map<string, MorningChange[]>();
  for (const one of changes) {
    const key =
      one.kind === "common"
        ? `all ${one.side ?? ""}`
        : one.kind === "reading" && one.last !== undefined
          ? `${one.path} to ${one.last}`
          : one.path;
    places.set(key, [...(places.get(key) ?? []), one]);
  }
  return [...places.values()];
}

function formatPlace(changes: readonly MorningChange[]): string {
  const [first] = changes;
  const level = getReadingId("level");
  // Level and gain show the same change.
  const told = changes.filter(
    (one) =>
      !("reading" in one) ||
      one.reading !== getReadingId("gain") ||
      !changes.some((other) => "reading" in other && other.reading === level),
  );
  const more = told.length > 1 ? ` and ${formatCount(told.length - 1, "more reading")}` : "";
  switch (first.kind) {
    case "silent":
      return `${first.path} gives nothing back (strip, cable or output)`;
    case "missing":
      return `the ${first.side} side gives nothing back on any of ${first.paths} paths (the mix bus on that side, its cable or the recorder's channel)`;
    case "unmeasured":
      return `${first.path} not measured (patch or recording)`;
    case "back":
      return `${first.path} is back`;
    case "reading":
      return `${placeOf(first)} ${formatChange(first)}${more}`;
    case "common":
      return first.side === undefined
        ? `all ${first.paths} paths, ${formatChange(first)}${more} (what they share: interface, levels, mix)`
        : `the ${first.side} side of all ${first.paths} paths, ${formatChange(first)}${more} (the mix bus on that side, its cable or the recorder's channel)`;
  }
}

/** "3/tape", or "1/tape to 8/tape together". */
function placeOf({ path, last }: { readonly path: string; readonly last?: string }): string {
  return last === undefined ? path : `${path} to ${last} together`;
}

function formatChange({ reading, change }: { readonly reading: string; readonly change: number }) {
  if (reading === getReadingId("polarity")) return "is inverted";
  const kind = findReadingKind(reading);
  const point = findCurvePoint(reading);
  const name =
    point === undefined
      ? (kind?.name ?? reading)
      : `${findCurveKind(point.curve)?.name ?? point.curve} at ${formatHz(point.atHz)}`;
  const unit = point !== undefined || kind?.unit.startsWith("dB") ? "dB" : (kind?.unit ?? "");
  const size = Math.abs(change);
  const figure = size < 9.95 ? size.toFixed(1) : size.toFixed(0);
  return `${name} ${figure} ${unit} ${change > 0 ? "up" : "down"}`;
}

/** What a morning check cannot see. */
export function formatUnseen(inputs: readonly string[]): string {
  const others = inputs.length === 0 ? "" : `${formatList(inputs)} inputs, `;
  return `Not checked: ${others}unwired paths, and controls while they move.`;
}

/** One reading of one path over all mornings, one line per day, with a bar. */
export function renderMornings(
  entries: readonly MorningEntry[],
  path: string | undefined,
  style: ReportStyle,
): string {
  if (path === undefined) {
    return entries
      .flatMap(({ date, verdict, sentence }) =>
        wrapText(
          sanitizeLine(sentence),
          Math.max(60, Math.min(style.width, 80)),
          `${date.slice(0, 16).replace("T", " ")}  ${verdict.padEnd(8)} `,
          " ".repeat(27),
        ),
      )
      .join("\n");
  }
  const readings = [getReadingId("level"), getReadingId("hiss"), getReadingId("hum")];
  const blocks = readings.flatMap((reading) => {
    const days = entries.flatMap(({ date, paths, sums }) => {
      const value = paths[path]?.[reading] ?? sums?.[path]?.[reading];
      return value === undefined ? [] : [{ date, value }];
    });
    return days.length === 0 ? [] : [plotDays(reading, days)];
  });
  return blocks.length === 0
    ? `No morning has a figure for ${sanitizeLine(path)}.`
    : blocks.join("\n\n");
}

const barWidth = 40;
/** Smallest span from side to side, so that small differences do not look large. */
const leastSpan = 3;

function plotDays(
  reading: string,
  days: readonly { readonly date: string; readonly value: number }[],
): string {
  const kind = findReadingKind(reading);
  const values = days.map(({ value }) => value);
  const middle = (Math.min(...values) + Math.max(...values)) / 2;
  const span = Math.max(leastSpan, Math.max(...values) - Math.min(...values));
  const low = middle - span / 2;
  const lines = days.map(({ date, value }) => {
    const at = Math.round(((value - low) / span) * (barWidth - 1));
    return `${date.slice(0, 10)}  ${value.toFixed(1).padStart(7)}  |${" ".repeat(at)}*${" ".repeat(barWidth - 1 - at)}|`;
  });
  const head = `${kind?.name ?? reading}, ${low.toFixed(1)} to ${(low + span).toFixed(1)} ${kind?.unit ?? ""}`;
  return [head, ...lines].join("\n");
}
