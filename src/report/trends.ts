import { ageingIndicators } from "../history/trend/ageing.js";
import type {
  Crossing,
  FamilyTrend,
  Outlook,
  PathTrend,
  Trend,
  Trends,
} from "../history/trend/types.js";
import { getReadingName } from "../measure/reading-kinds.js";
import { formatCount } from "../text/format-count.js";
import { formatChange, formatSigned } from "../text/format-signed.js";
import { toDifferenceUnit } from "../text/level-units.js";
import { formatCondition } from "./conditions/format-condition.js";
import { getDecimals } from "./format-reading.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/** Trends of a desk: what will need service and when, then the significant slopes. */
export function renderTrends(trends: Trends, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const { desk, rounds, outlook, families, paths, conditions } = trends;
  const [first, last] = [rounds[0], rounds[rounds.length - 1]];
  const head = `${desk}, ${rounds.length} rounds from ${first.date.slice(0, 10)} to ${last.date.slice(0, 10)}`;
  return [
    ...wrapText(head, width).map((line) => strong(line)),
    ...outlookLines(outlook, paths, width),
    ...conditions.flatMap((one) => wrapText(formatCondition(one), width, "", "  ")),
    ...jumpLines(paths, width),
    ...stepLines(paths, width),
    ...familyLines(families, width),
    ...pathLines(paths, width),
    "",
  ].join("\n");
}

function outlookLines(
  outlook: readonly Outlook[],
  trends: readonly PathTrend[],
  width: number,
): readonly string[] {
  const names = new Map(trends.map((trend) => [trend.path, nameInput(trend)]));
  if (outlook.length === 0) {
    return ["No reading is on course to reach a limit within 30 years."];
  }
  return outlook.flatMap((one) => {
    const { reading, strips, paths, years, limit, unit } = one;
    const who = strips.length === 1 ? `Strip ${strips[0]}` : `Strips ${ranges(strips)}`;
    const inputs = [...new Set(paths.flatMap((path) => names.get(path) ?? []))];
    const at = `${getReadingName(reading)} of ${inputs.join(", ")} reaches ${formatSigned(String(Number(limit.value.toPrecision(4))))} ${unit}`;
    const text = `${who} ${one.open ? "may" : "will"} need ${wantsOf(reading)} in about ${span(years)}, ${interval(one)} (${at}, limit ${limit.name}).`;
    return wrapText(text, width, "", "  ");
  });
}

/** The second side of a stereo bus is named after its family, whose name gives the side. */
function nameInput({ path, strip, input, family }: PathTrend): string {
  return path === `${strip}/${input}` ? input : family;
}

function wantsOf(reading: string): string {
  return ageingIndicators.find((one) => one.reading === reading)?.wants ?? "a look";
}

function span(years: number): string {
  return years < 1 ? "a year or less" : `${formatCount(Math.round(years), "year")}`;
}

function interval({ from, until, open }: Pick<Crossing, "from" | "until" | "open">): string {
  const [low, high] = [Math.floor(from), Math.ceil(until)];
  if (open) return `${low} or more`;
  return low === high ? `${low}` : `${low} to ${high}`;
}

/** "1–4, 7". */
function ranges(strips: readonly string[]): string {
  const parts: string[] = [];
  for (let k = 0; k < strips.length; ) {
    let end = k;
    while (end + 1 < strips.length && isNext(strips[end], strips[end + 1])) end++;
    if (end - k >= 2) parts.push(`${strips[k]}–${strips[end]}`);
    else parts.push(...strips.slice(k, end + 1));
    k = end + 1;
  }
  return parts.join(", ");
}

function isNext(a: string, b: string): boolean {
  return /^\d+$/.test(a) && Number(b) === Number(a) + 1;
}

/** Sudden changes, at which trends restart. */
function jumpLines(paths: readonly PathTrend[], width: number): readonly string[] {
  const jumps = new Map<string, string[]>();
  for (const { path, reading, unit, jumps: own } of paths) {
    for (const { round, change } of own) {
      const key = `${path} before ${round.slice(0, 10)}`;
      const digits = getDecimals(Math.abs(change) / 10);
      const size = `${getReadingName(reading)} ${formatChange(change.toFixed(digits))} ${toDifferenceUnit(unit)}`;
      jumps.set(key, [...(jumps.get(key) ?? []), size]);
    }
  }
  if (jumps.size === 0) return [];
  const all = [...jumps].map(([where, sizes]) => `${where} (${sizes.join(", ")})`);
  return wrapText(
    `Sudden changes (part replaced or failed): ${all.join("; ")}. Trends restart there.`,
    width,
    "",
    "  ",
  );
}

/** What ages in steps: a contact or a joint, not a part that wears evenly. */
function stepLines(paths: readonly PathTrend[], width: number): readonly string[] {
  return paths.flatMap(({ path, reading, unit, steps, crossing }) => {
    if (steps === undefined) return [];
    const { count, change, perYear } = steps;
    const digits = getDecimals(Math.abs(change) / 10);
    const size = `${formatChange(change.toFixed(digits))} ${toDifferenceUnit(unit)}`;
    const every = (1 / perYear).toFixed(1);
    const due =
      crossing === undefined
        ? ""
        : ` At that pace it reaches limit ${crossing.limit.name} in about ${span(crossing.years)}, ${interval(crossing)}.`;
    const text = `Ages in steps: ${path} ${getReadingName(reading)}, ${count} steps of about ${size}, one in ${every} years: a contact or a joint rather than a part that wears evenly.${due}`;
    return wrapText(text, width, "", "  ");
  });
}

function familyLines(families: readonly FamilyTrend[], width: number): readonly string[] {
  const certain = families.filter(({ significant, slight }) => significant && !slight);
  if (certain.length === 0) return [];
  const rows = certain.map((one) => [
    `most ${one.family}`,
    getReadingName(one.reading),
    valueText(one),
    slopeText(one),
    one.course,
  ]);
  return ["", renderTable(columns(width, "a year"), rows)];
}

function pathLines(paths: readonly PathTrend[], width: number): readonly string[] {
  const certain = paths.filter(({ significant, slight }) => significant && !slight);
  const slight = paths.filter((one) => one.slight);
  const rest = paths.length - certain.length - slight.length;
  const slightWords = slight.length === 0 ? [] : wrapText(slightText(slight), width);
  if (certain.length === 0) {
    const none = slight.length === 0 ? "No path has a significant slope." : undefined;
    return ["", ...(none ? wrapText(none, width) : slightWords)];
  }
  const rows = certain
    .sort((a, b) => (a.crossing?.years ?? 1e9) - (b.crossing?.years ?? 1e9))
    .map((one) => [
      one.path,
      getReadingName(one.reading),
      valueText(one),
      slopeText(one),
      one.crossing === undefined
        ? one.beyond === undefined
          ? one.course
          : `beyond ${one.beyond.name}`
        : yearsOf(one.crossing),
    ]);
  return [
    "",
    renderTable(columns(width, "a year"), rows),
    "",
    ...wrapText(
      `± and years are 95 % intervals. ${formatCount(rest, "further trend")} ${rest === 1 ? "has" : "have"} no significant slope.`,
      width,
    ),
    ...slightWords,
  ];
}

function yearsOf({ date, fromDate, untilDate, open }: Crossing): string {
  const [due, from, until] = [date, fromDate, untilDate].map((day) => day.slice(0, 4));
  return open ? `${due} (from ${from})` : `${due} (${from}–${until})`;
}

/** Slopes that are significant but no concern, in one line. */
function slightText(slight: readonly PathTrend[]): string {
  const readings = [...new Set(slight.map(({ reading }) => reading))].map((id) => {
    const own = slight.filter(({ reading }) => reading === id);
    return `${getReadingName(id)} of ${formatCount(own.length, "path")}`;
  });
  return `Significant, but not a concern within ten years: ${readings.join(", ")}.`;
}

function columns(width: number, slope: string) {
  return [
    { head: "path", width: 14 },
    { head: "reading", width: width - 14 - 10 - 19 - 17 },
    { head: "now", width: 10, align: "right" as const },
    { head: slope, width: 19, align: "right" as const },
    { head: "  at its limit", width: 17 },
  ];
}

function valueText({ value, unit }: Trend): string {
  return `${formatSigned(value.toFixed(Math.abs(value) < 100 ? 1 : 0))} ${unit}`;
}

function slopeText({ perYear, uncertainty, unit }: Trend): string {
  const digits = Math.min(3, getDecimals(uncertainty));
  const sign = perYear > 0 ? "+" : "";
  return `${sign}${formatSigned(perYear.toFixed(digits))} ± ${uncertainty.toFixed(digits)} ${toDifferenceUnit(unit)}`;
}
