import type {
  Change,
  CommonShift,
  CurveChange,
  PathComparison,
  PathState,
  ReadingChange,
  RoundComparison,
} from "../history/compare/types.js";
import { findCurveKind } from "../measure/curve-kinds.js";
import { getBoundSide } from "../measure/is-bound.js";
import { findReadingKind } from "../measure/reading-kinds.js";
import { formatCount } from "../text/format-count.js";
import { formatHertz } from "../text/format-hertz.js";
import { formatSigned } from "../text/format-signed.js";
import { groupBy } from "../text/group-by.js";
import { formatCondition } from "./conditions/format-condition.js";
import { formatIncomparable, formatNoPartner } from "./conditions/format-incomparable.js";
import { formatNamedValue, getDecimals } from "./format-reading.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/**
 * Two rounds side by side: the summary first, then what changed, path by path. A comparison of one
 * path lists all its readings, changed or not.
 */
export function renderComparison(comparison: RoundComparison, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const { desk, earlier, later, days, paths } = comparison;
  const [only] = paths.length === 1 ? paths : [];
  const head = `${desk}, round ${later.id} against ${earlier.id}, ${ago(days)}`;
  return [
    ...wrapText(head, width).map((line) => strong(line)),
    ...(only === undefined ? summary(comparison, width) : wrapText(storyOf(only), width)),
    "",
    ...(only === undefined ? changedLines(paths, width) : fullLines(only, width)),
    "",
  ].join("\n");
}

/** "10 years earlier", or days if there are few. */
function ago(days: number): string {
  if (days < 60) return `${formatCount(days, "day")} earlier`;
  if (Math.abs(days - 365) < 20) return "1 year earlier";
  if (days < 700) return `${formatCount(Math.round(days / 30.44), "month")} earlier`;
  return `${Number((days / 365.25).toFixed(days < 1500 ? 1 : 0))} years earlier`;
}

/** The most important changes come first and in full: they are why the comparison was made. */
function summary(comparison: RoundComparison, width: number): readonly string[] {
  const { paths, shifts, conditions } = comparison;
  const states = summaryStates.flatMap(({ state, words }) => {
    const own = paths.filter((path) => path.state === state);
    return own.length === 0 ? [] : [`${words(own.length)}: ${named(own, state)}.`];
  });
  const steady = paths.filter(({ state }) => state === "steady").length;
  const still =
    steady === paths.length
      ? `No significant change on any of ${formatCount(paths.length, "path")}.`
      : `${formatCount(steady, "path")} of ${paths.length} ${steady === 1 ? "is" : "are"} as before.`;
  const texts = [...states, still, ...conditions.map(formatCondition), ...formatShifts(shifts)];
  return texts.flatMap((text) => wrapText(text, width, "", "  "));
}

const summaryStates: readonly {
  readonly state: PathState;
  readonly words: (count: number) => string;
}[] = [
  { state: "new-fault", words: (n) => formatCount(n, "new fault") },
  {
    state: "other-fault",
    words: (n) => `${formatCount(n, "path")} with a different fault`,
  },
  { state: "fault-gone", words: (n) => `${formatCount(n, "fault")} gone` },
  { state: "fault-still", words: (n) => `${formatCount(n, "fault")} as before` },
  { state: "set-wrong", words: (n) => `${formatCount(n, "path")} set differently` },
  { state: "set-right", words: (n) => `${formatCount(n, "setting")} put right` },
  { state: "drift", words: (n) => `${formatCount(n, "path")} drifted, none of them out of line` },
  { state: "better", words: (n) => `${formatCount(n, "path")} better` },
  { state: "unsure", words: (n) => `${formatCount(n, "path")} in doubt` },
  { state: "no-partner", words: (n) => `${formatCount(n, "path")} in one round only` },
];

const mostNamed = 12;

function named(paths: readonly PathComparison[], state: PathState): string {
  const each = paths.slice(0, mostNamed).map((path) => {
    const what =
      state === "fault-gone" || state === "set-right"
        ? path.earlier?.causeName
        : state === "drift" || state === "better" || state === "unsure" || state === "no-partner"
          ? undefined
          : path.later?.causeName;
    return what === undefined ? path.path : `${path.path} (${what})`;
  });
  const rest = paths.length - each.length;
  return each.join(", ") + (rest > 0 ? ` and ${rest} more` : "");
}

/** Changes common to whole families, one sentence for all families with the same changes. */
export function formatShifts(shifts: readonly CommonShift[]): readonly string[] {
  const groups = groupBy(
    shifts.filter((shift) => !kindOf(shift)?.detail),
    (shift) => JSON.stringify([causeOf(shift), shift.families]),
  );
  return [...groups.values()].map((own) => {
    const [cause, families] = [causeOf(own[0]), own[0].families.join(", ")];
    const each = distinct(own).map(
      ({ reading, shift, unit, uncertainty, atHz }) =>
        `${nameOf(reading)} ${plus(shift, uncertainty)}${spaced(unit)}${atHz === undefined ? "" : ` at ${formatHertz(atHz)}`}`,
    );
    const more = each.length > 4 ? ` and ${each.length - 4} more` : "";
    return `Common to all ${families} paths: ${each.slice(0, 4).join(", ")}${more} (${cause}).`;
  });
}

/** What may cause a shift that no strip has alone. Nothing gets better with age. */
function causeOf(shift: CommonShift): string {
  if (shift.reference === "shows")
    return "the reference path changed in the same way: not the strips";
  if (shift.reference === "clean") {
    return "the reference path did not change: the strips or the bus, not the interface";
  }
  return kindOf(shift)?.commonChange === "set-up" || shift.course !== "worse"
    ? "interface, run sheet or temperature, not the strips"
    : "their common age, or the interface";
}

/** The row of the reading, or of the curve if the shift has a frequency. */
function kindOf({ reading, atHz }: CommonShift) {
  return atHz === undefined ? findReadingKind(reading) : findCurveKind(reading);
}

/**
 * A gain that changed with the level, or a curve that changed with its reading, adds nothing new.
 */
function distinct(shifts: readonly CommonShift[]): readonly CommonShift[] {
  const has = (reading: string) =>
    shifts.some((one) => one.reading === reading && one.atHz === undefined);
  return shifts.filter(({ reading, atHz }) => {
    if (atHz !== undefined) return !has(reading);
    const repeats = findReadingKind(reading)?.repeats;
    return repeats === undefined || !has(repeats);
  });
}

const stateWords: Readonly<Record<PathState, string>> = {
  "new-fault": "new fault",
  "other-fault": "other fault",
  "fault-still": "as before",
  "fault-gone": "fault gone",
  "set-wrong": "setting",
  "set-right": "put right",
  drift: "drift",
  better: "better",
  unsure: "in doubt",
  steady: "",
  "no-partner": "one round",
};

function storyOf(path: PathComparison): string {
  const { state, earlier, later, noPartner } = path;
  const then = earlier?.causeName ?? earlier?.standing ?? "not there";
  const now = later?.causeName ?? later?.standing ?? "not there";
  const change = state === "steady" ? "no significant change" : stateWords[state];
  return `${path.path}: ${change}${noPartner === undefined ? "" : ` (${formatNoPartner(noPartner)})`}. Then: ${then}. Now: ${now}.`;
}

const mostChanges = 5;

function changedLines(paths: readonly PathComparison[], width: number): readonly string[] {
  const order = Object.keys(stateWords);
  const changed = paths
    .filter(({ state }) => state !== "steady" && state !== "fault-still")
    .sort((a, b) => order.indexOf(a.state) - order.indexOf(b.state));
  if (changed.length === 0) return [];
  const rows = changed.flatMap((path) => {
    const real = realChanges(path);
    const shown = real.slice(0, mostChanges);
    const head = [path.path, stateWords[path.state]];
    if (shown.length === 0)
      return [
        [...head, (path.noPartner && formatNoPartner(path.noPartner)) ?? doubtOf(path), "", "", ""],
      ];
    return [
      ...shown.map((change, k) => [...(k === 0 ? head : ["", ""]), ...cells(change)]),
      ...(real.length > shown.length
        ? [["", "", `and ${real.length - shown.length} more`, "", "", ""]]
        : []),
    ];
  });
  const [first] = changed;
  return [
    renderTable(columns(width, paths), rows),
    "",
    "The change common to its family is subtracted. ±: 95 %.",
    ...wrapText(`To see every reading of one path: --path ${first.path}.`, width),
  ];
}

function columns(width: number, paths: readonly PathComparison[]) {
  const longest = Math.max(4, ...paths.map(({ path }) => path.length));
  const pathWidth = Math.min(18, longest + 1);
  const words = width - pathWidth - 12 - 10 - 10 - 17;
  return [
    { head: "path", width: pathWidth },
    { head: "", width: 12 },
    { head: "reading", width: words },
    { head: "then", width: 10, align: "right" as const },
    { head: "now", width: 10, align: "right" as const },
    { head: "change", width: 17, align: "right" as const },
  ];
}

function doubtOf({ earlier }: PathComparison): string {
  return earlier?.standing === "alike" || earlier?.standing === "unjudged"
    ? "stands out now, but no reading changed significantly"
    : "stood out then, but no reading changed significantly";
}

type Moved = ReadingChange | CurveChange;

/**
 * Significant changes, the most significant first; readings with no better or worse are only shown
 * with --path.
 */
function realChanges({ readings, curves, partner }: PathComparison): readonly Moved[] {
  const all: readonly Moved[] = [
    ...readings,
    ...curves,
    ...(partner?.readings ?? []),
    ...(partner?.curves ?? []),
  ];
  return all
    .filter((change) => change.real && change.course !== "neither")
    .sort((a, b) => Math.abs(b.significance) - Math.abs(a.significance));
}

/** The largest change on a path, e.g. "noise +12.3 ± 0.4 dB"; undefined if none is significant. */
export function formatLargestChange(path: PathComparison): string | undefined {
  const [first] = realChanges(path);
  if (first === undefined) return undefined;
  const name =
    "curve" in first
      ? `${curveName(first.curve)} at ${formatHertz(first.atHz)}`
      : nameOf(first.reading);
  return `${name} ${own(first, first.unit)}`;
}

function cells(change: Moved): readonly string[] {
  if ("curve" in change) {
    const { curve, atHz, earlier, later } = change;
    const digits = Math.min(1, getDecimals(change.uncertainty));
    const [then, now] = [earlier, later].map((value) => formatSigned(value.toFixed(digits)));
    return [`${curveName(curve)} at ${formatHertz(atHz)}`, then, now, own(change, change.unit)];
  }
  const { reading, earlier, later } = change;
  return [nameOf(reading), brief(earlier), brief(later), own(change, change.unit)];
}

/**
 * A row of a reading whose values have names, such as polarity: then, now, and whether they differ.
 */
function namedRow(change: Moved): string[] | undefined {
  if (!("reading" in change)) return undefined;
  const { values, name } = findReadingKind(change.reading) ?? {};
  if (values === undefined || name === undefined) return undefined;
  const [then, now] = [change.earlier, change.later].map(({ value }) =>
    formatNamedValue(values, value),
  );
  return [name, then, now, then === now ? "" : "changed", "", change.real ? "yes" : "no"];
}

/** A value without its uncertainty, "<" before an upper bound. */
function brief(reading: ReadingChange["earlier"]): string {
  const { value, uncertainty } = reading;
  const side = getBoundSide(reading);
  const mark = side === undefined ? "" : side === "upper" ? "< " : "> ";
  return mark + formatSigned(value.toFixed(Math.min(2, getDecimals(uncertainty))));
}

/** "+9.1 ± 0.4 dB", or a bound if one end is a bound. */
function own(change: Change, unit: string): string {
  const { own: value, uncertainty, bound } = change;
  const digits = Math.min(2, getDecimals(uncertainty));
  const text = `${plus(value, uncertainty)}${bound === undefined ? ` ± ${uncertainty.toFixed(digits)}` : ""}${spaced(unit)}`;
  return bound === undefined ? text : `${bound === "lower" ? "≥" : "≤"} ${text}`;
}

function plus(value: number, uncertainty: number): string {
  const text = formatSigned(value.toFixed(Math.min(2, getDecimals(uncertainty))));
  return value > 0 ? `+${text}` : text;
}

function spaced(unit: string): string {
  return unit === "" ? "" : ` ${unit}`;
}

function nameOf(reading: string): string {
  return findReadingKind(reading)?.name ?? curveName(reading);
}

function curveName(curve: string): string {
  return findCurveKind(curve)?.name ?? curve;
}

/**
 * Every reading of one path: then, now, difference, the path's own part of it, and whether it is
 * significant.
 */
function fullLines(path: PathComparison, width: number): readonly string[] {
  const { readings, curves, notCompared, partner } = path;
  const table = [
    { head: "reading", width: width - 10 - 10 - 9 - 20 - 5 },
    { head: "then", width: 10, align: "right" as const },
    { head: "now", width: 10, align: "right" as const },
    { head: "change", width: 9, align: "right" as const },
    { head: "its own", width: 20, align: "right" as const },
    { head: "real", width: 5, align: "right" as const },
  ];
  const rows = (changes: readonly Moved[]) =>
    changes.map(
      (change) =>
        namedRow(change) ?? [
          "curve" in change
            ? `${curveName(change.curve)} at ${formatHertz(change.atHz)}`
            : nameOf(change.reading),
          "curve" in change ? formatSigned(change.earlier.toFixed(1)) : brief(change.earlier),
          "curve" in change ? formatSigned(change.later.toFixed(1)) : brief(change.later),
          plus(change.difference, change.uncertainty),
          own(change, change.unit),
          change.real ? "yes" : "no",
        ],
    );
  const lacking = Object.entries(notCompared);
  return [
    ...(readings.length + curves.length > 0
      ? [renderTable(table, rows([...readings, ...curves]))]
      : []),
    ...(partner === undefined
      ? []
      : ["", "OTHER SIDE", renderTable(table, rows([...partner.readings, ...partner.curves]))]),
    ...(lacking.length > 0 ? ["", "NOT COMPARED"] : []),
    ...lacking.flatMap(([reading, reason]) =>
      wrapText(`${nameOf(reading)}: ${formatIncomparable(reason)}`, width, "  ", "    "),
    ),
  ];
}
