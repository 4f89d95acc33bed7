import { getReadingName } from "../../measure/reading-kinds.js";
import type { CountedVerdict, Relation, SharedCheck, Verdict } from "../../service/limits/types.js";
import { capitalize } from "../../text/capitalize.js";
import { formatCount } from "../../text/format-count.js";
import { formatHertz } from "../../text/format-hertz.js";
import { formatSigned } from "../../text/format-signed.js";
import { formatReading, getDecimals } from "../format-reading.js";
import { sanitizeLine } from "../sanitize.js";
import { formatSharedFault } from "../shared/format-shared.js";
import type { WordedCheck, WordedLimitCheck, WordedPathCheck } from "./word-check.js";

/** The words for a comparison. */
export const relationPhrases: Readonly<Record<Relation, string>> = {
  "<=": "at most",
  "<": "below",
  ">=": "at least",
  ">": "above",
  "==": "exactly",
};

/** The paths with one verdict, strip by strip. */
export function listPathsWith(check: WordedCheck, verdict: Verdict): readonly WordedPathCheck[] {
  const found = check.paths.filter((path) => path.verdict === verdict);
  return check.strips.flatMap(({ strip }) => found.filter((path) => path.strip === strip));
}

/** A shared fault on a line of its own. */
export function formatSharedLine({ fault }: SharedCheck): string {
  return sanitizeLine(`shared: ${formatSharedFault(fault)}`);
}

/** The check in one sentence, shared faults first: "Fail: 2 of 24 strips: 4, 9." */
export function formatVerdictLine(check: WordedCheck): string {
  const { verdict: own, rest } = describeStrips(check);
  const { shared = [] } = check;
  if (shared.length === 0) return `${own}: ${rest}`;
  const told = shared.map(({ fault }) => sanitizeLine(formatSharedFault(fault))).join("; ");
  const verdict = check.verdict === "fail" ? "Fail" : own;
  const strips = own === verdict ? capitalize(rest) : `${own}: ${rest}`;
  return `${verdict}: shared by several paths: ${told}. ${strips}`;
}

/** The verdict on the strips, and which ones it is about. */
function describeStrips(check: WordedCheck): { readonly verdict: string; readonly rest: string } {
  const failing = stripsThat(check, "fail");
  const incomplete = stripsThat(check, "incomplete");
  const all = formatCount(check.strips.length, "strip");
  const lacking =
    incomplete.length === 0 ? "" : ` Incomplete: ${listed(incomplete, check.strips.length)}.`;
  if (failing.length > 0) {
    const rest = `${failing.length} of ${all}: ${listed(failing, mostNamed)}.${lacking}`;
    return { verdict: "Fail", rest };
  }
  if (check.verdict === "incomplete" || incomplete.length > 0) {
    const rest =
      incomplete.length === 0
        ? "no path could be judged."
        : `${incomplete.length} of ${all}: ${listed(incomplete, mostNamed)}.`;
    return { verdict: "Incomplete", rest };
  }
  return { verdict: "Pass", rest: `${check.strips.length === 1 ? "the 1 strip" : `all ${all}`}.` };
}

/** "24 strips: 18 pass, 6 fail. 72 paths: 66 pass, 6 fail." */
export function formatCountLine(check: WordedCheck): string {
  const strips = counts(
    check.strips.map(({ counts: standing }) => standing),
    ["pass", "fail", "incomplete"],
  );
  const paths = counts(
    check.paths.map(({ verdict }) => verdict),
    ["pass", "fail", "undecided", "incomplete"],
  );
  return `${formatCount(check.strips.length, "strip")}: ${strips}. ${formatCount(check.paths.length, "path")}: ${paths}.`;
}

/** Which round was judged by what. */
export function formatTitleLine({ desk, round, baseline, limits }: WordedCheck): string {
  const against = baseline === undefined ? "" : `, against round ${sanitizeLine(baseline)}`;
  return `${sanitizeLine(desk)}, round ${sanitizeLine(round)}${against}, by ${formatCount(limits.length, "limit")}.`;
}

/** Why a path did not pass, one line for each limit, beginning with its name. */
export function formatReasonLines(path: WordedPathCheck): readonly string[] {
  return listReasonWords(path).map((words) => words.join(" "));
}

/**
 * The same as a list of words; a figure and its unit count as one word, so that no line breaks
 * between them.
 */
export function listReasonWords(path: WordedPathCheck): readonly (readonly string[])[] {
  const lines = path.checks
    .filter(({ verdict }) => verdict === "fail" || verdict === "undecided")
    .map(listLimitWords);
  return path.verdict === "incomplete" && path.reason !== undefined
    ? [sanitizeLine(path.reason).split(" "), ...lines]
    : lines;
}

/** "noise-alike: noise −92.86 ± 0.06 dBFS, at most −96.15 dBFS". */
export function formatLimitLine(check: WordedLimitCheck): string {
  return listLimitWords(check).join(" ");
}

function listLimitWords(check: WordedLimitCheck): readonly string[] {
  const { limit, verdict, reason } = check;
  const name = `${sanitizeLine(limit)}:`.split(" ");
  if (verdict === "incomplete") {
    return [...name, ...sanitizeLine(reason ?? "not measured").split(" ")];
  }
  if (verdict !== "undecided") return [...name, ...listFigureWords(check, "")];
  return [...name, ...listFigureWords(check, ":"), ...doubt(check).split(" ")];
}

/** What was judged and by what, the bound last, followed by a colon if more follows. */
function listFigureWords(check: WordedLimitCheck, end: ":" | ""): readonly string[] {
  const { value, relation, bound, unit, uncertainty, atHz } = check;
  if (value === undefined || relation === undefined || bound === undefined) return [];
  const spread = uncertainty ?? 0;
  const shown = formatReading({ value, unit: unit ?? "", uncertainty: spread });
  return [
    ...quantityWords(check).split(" "),
    ...(atHz === undefined ? [`${shown},`] : [shown, "at", `${formatHertz(atHz)},`]),
    ...relationPhrases[relation].split(" "),
    `${`${formatSigned(trimmed(bound, spread))} ${unit}`.trim()}${end}`,
  ];
}

/** A bound with as many decimals as the figure beside it, or as many as a small bound needs. */
function trimmed(bound: number, uncertainty: number): string {
  return String(
    Number(bound.toFixed(Math.max(getDecimals(uncertainty), getDecimals(Math.abs(bound))))),
  );
}

/** "gain", "gain against its siblings", or the expression if it is neither. */
function quantityWords({ reading, quantity = reading, judged }: WordedLimitCheck): string {
  const name = sanitizeLine(getReadingName(reading));
  const isOwn = judged !== undefined && "name" in judged && judged.name === reading;
  if (judged === undefined || (isOwn && judged.code === "figure")) return name;
  if (isOwn && judged.code === "distance") return `${name} against its ${judged.from}`;
  return sanitizeLine(quantity);
}

function doubt({ limitedBy }: WordedLimitCheck): string {
  if (limitedBy === "noise") return "limited by noise, the path may be better";
  if (limitedBy === "interface") return "limited by the interface, the path may be better";
  return "too close to decide";
}

const mostNamed = 24;

function stripsThat(check: WordedCheck, standing: CountedVerdict): readonly string[] {
  return check.strips.filter((s) => s.counts === standing).map(({ strip }) => sanitizeLine(strip));
}

function listed(names: readonly string[], most: number): string {
  const shown = names.slice(0, most).join(", ");
  return names.length > most ? `${shown} and ${names.length - most} more` : shown;
}

/** Zero counts are left out; "none" if all are zero. */
function counts<T extends string>(found: readonly T[], order: readonly T[]): string {
  const parts = order
    .map((name) => ({ name, count: found.filter((one) => one === name).length }))
    .filter(({ count }) => count > 0)
    .map(({ name, count }) => `${count} ${name}`);
  return parts.length === 0 ? "none" : parts.join(", ");
}
