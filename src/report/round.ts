import { groupByStanding, listSmallFamilies, type Standing } from "../history/standing.js";
import type { Round, RoundPath } from "../history/types.js";
import type { LeftAlone } from "../service/notebook/left-alone.js";
import { formatCount } from "../text/format-count.js";
import { formatCommand } from "../text/program-name.js";
import { formatFinding } from "./findings/format-finding.js";
import { formatReading } from "./format-reading.js";
import { formatReference } from "./format-reference.js";
import { formatLeftAlone } from "./left-alone.js";
import {
  formatSharedFault,
  formatSharedFinding,
  formatSharedLook,
} from "./shared/format-shared.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { formatVerdict } from "./verdict.js";
import { wrapText } from "./wrap.js";

export { renderPathReport } from "./path.js";
export type { ReportStyle } from "./style.js";

/**
 * A round as plain text: verdict, what is missing, the odd paths with causes, warnings.
 *
 * @param kept commands that show more of a round are printed only for a stored one
 */
export function renderRound(
  round: Round,
  style: ReportStyle,
  kept: "stored" | "preview" = "preview",
  leftAlone: readonly LeftAlone[] = [],
): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  return [
    strong(`${round.desk.name}, ${title(round)}`),
    "",
    ...doubtLines(round, { ...style, width }),
    ...wrapText(formatVerdict(round), width).map((line) => strong(line)),
    "",
    ...measuredLines(round, width),
    ...sharedLines(round, { ...style, width }),
    ...oddLines(round, { ...style, width }, kept),
    ...leftAlone.flatMap((one) => ["", ...wrapText(formatLeftAlone(one), width)]),
    ...remarkLines(round, width),
    ...smallFamilyLines(round, width),
    ...nextLines(kept, width),
    "",
  ].join("\n");
}

/** A preview has no id that a command could use. */
function title({ id }: Round): string {
  return id === "preview" ? "preview of a round, not stored" : `round ${id}`;
}

function measuredLines(round: Round, width: number): readonly string[] {
  const { signal, paths, captures } = round;
  const measured = paths.filter(({ status }) => status === "measured").length;
  const how = `${signal.profile} signal, ${signal.sampleRate / 1000} kHz, ${formatCount(captures.length, "recording")}`;
  const lines = [
    ...wrapText(
      `${measured} of ${formatCount(paths.length, "path")} measured (${how}; ${scaleWords(round)}).`,
      width,
    ),
    ...partialLines(round, width),
    ...(round.reference === undefined ? [] : wrapText(formatReference(round.reference), width)),
    ...stereoLines(round, width),
  ];
  const missing = paths.filter(({ status }) => status === "missing").map(({ path }) => path);
  if (missing.length > 0) lines.push(...wrapText(missing.join(", "), width, "Missing: ", "  "));
  for (const [reason, names] of unusableByReason(round)) {
    lines.push(...wrapText(`${names.join(", ")}: ${reason}`, width, "Unusable: ", "  "));
  }
  return lines;
}

/** The unit of levels, and how they were calibrated. */
function scaleWords({ calibration }: Round): string {
  if (calibration === null) {
    return "levels in dBFS and gains relative, because nothing is calibrated";
  }
  const { value, uncertainty } = calibration.volts.output;
  const volts = formatReading({ value, uncertainty, unit: "V" });
  return `levels in dBu, calibrated on ${calibration.date.slice(0, 10)} by ${volts} at the output`;
}

/** Says that only some paths were asked for; a long list is shortened. */
function partialLines({ partial }: Round, width: number): readonly string[] {
  if (partial === undefined) return [];
  const { wanted } = partial;
  const named = wanted.slice(0, mostWanted).join(", ");
  const more = wanted.length > mostWanted ? ` and ${wanted.length - mostWanted} more` : "";
  return wrapText(
    `A partial round: only ${named}${more} ${wanted.length === 1 ? "was" : "were"} asked for.`,
    width,
  );
}

const mostWanted = 12;

/** Says that both sides of a bus were measured, and on which channels. */
function stereoLines({ paths }: Round, width: number): readonly string[] {
  const takes = paths.flatMap(({ take }) => (take?.partnerChannel === undefined ? [] : [take]));
  if (takes.length === 0) return [];
  const pairs = new Set(
    takes.map(({ channel, partnerChannel = 0 }) => {
      const [left, right] = [channel, partnerChannel].sort((a, b) => a - b);
      return `left on channel ${left + 1}, right on channel ${right + 1}`;
    }),
  );
  const text = `A stereo bus: both sides of ${formatCount(takes.length, "path")} measured (${[...pairs].join("; ")}).`;
  return wrapText(text, width);
}

/** Paths with a bad recording; those that passed nothing are in the table. */
function unusableByReason(round: Round): ReadonlyMap<string, readonly string[]> {
  const byReason = new Map<string, string[]>();
  for (const { path, status, reason = "unknown" } of groupByStanding(round).unmeasured) {
    if (status !== "unusable") continue;
    byReason.set(reason, [...(byReason.get(reason) ?? []), path]);
  }
  return byReason;
}

const signs: Readonly<Record<Standing, string>> = {
  service: "service",
  watch: "watch",
  setting: "setting",
  alike: "",
  unjudged: "",
  unmeasured: "",
};

function oddLines(round: Round, style: ReportStyle, kept: "stored" | "preview"): readonly string[] {
  const by = groupByStanding(round);
  const odd = (["service", "watch", "setting"] as const).flatMap((standing) =>
    by[standing].map((path) => ({ path, standing, sign: signs[standing] })),
  );
  odd.sort((a, b) => b.path.oddness - a.path.oddness);
  if (odd.length === 0) return [];
  const colours = createPalette(style);
  const names = odd.map(({ path }) => pathCell(path.path));
  const longest = Math.max(...names.flatMap((name) => name.split("\n")).map((s) => s.length));
  const pathWidth = Math.max(10, Math.min(longest, longestCell) + 1);
  const wordsWidth = style.width - pathWidth - 18;
  const causeWidth = Math.floor(wordsWidth * 0.42);
  const columns = [
    { head: "path", width: pathWidth },
    { head: "", width: 9 },
    { head: "oddness", width: 9 },
    { head: "what stands out", width: wordsWidth - causeWidth },
    { head: "likely cause", width: causeWidth },
  ];
  const paint = { service: colours.bad, watch: colours.doubt, setting: colours.doubt } as const;
  const rows = odd.map(({ path, sign, standing }, k) => [
    names[k],
    paint[standing](sign),
    path.oddness.toFixed(0),
    findingLines(path).join("\n"),
    likelyCause(path),
  ]);
  const table = renderTable(columns, rows)
    .split("\n")
    .map((line, i) => (i === 0 ? colours.quiet(line) : line));
  const named = new Set(odd.map(({ path }) => path));
  const others = round.paths.filter((p) => p.status === "measured" && !named.has(p));
  const most = Math.max(0, ...others.map(({ oddness }) => oddness)).toFixed(0);
  const rest =
    others.length === 0
      ? []
      : [colours.quiet(`All others: oddness ${most}${most === "0" ? "" : " or less"}.`)];
  const more =
    kept === "preview"
      ? []
      : [
          "",
          ...wrapText(
            `One path in full: ${formatCommand(`show ${round.id} ${odd[0].path.path}`)}`,
            style.width,
          ),
        ];
  return ["", ...table, ...rest, ...more];
}

/** The next commands, once a round is stored. */
function nextLines(kept: "stored" | "preview", width: number): readonly string[] {
  if (kept === "preview") return [];
  return [
    "",
    ...wrapText(`The round as a page: ${formatCommand("report")}`, width),
    ...wrapText(`The worklist: ${formatCommand("plan")}`, width),
  ];
}

function likelyCause({ causes: [first] }: RoundPath): string {
  if (!first) return "not clear from the readings";
  const { name, probability } = first;
  return probability === undefined ? name : `${name} (${Math.round(100 * probability)} %)`;
}

/** Strip and input may have 16 characters each, which would leave no room for the words. */
const longestCell = 17;

function pathCell(path: string): string {
  return path.length <= longestCell ? path : path.replace("/", "/\n");
}

const mostFindings = 4;

function findingLines({ findings }: RoundPath): readonly string[] {
  const serious = findings.filter((f) => f.severity !== "remark");
  return serious.slice(0, mostFindings).map((one) => formatFinding(one, "by-the-head"));
}

/** Shared faults, listed above the paths because they come first. */
function sharedLines({ shared = [] }: Round, style: ReportStyle): readonly string[] {
  if (shared.length === 0) return [];
  const { bad, doubt } = createPalette(style);
  const mark = "  - ";
  return [
    "",
    "Shared faults. Check these before any strip:",
    ...shared.flatMap((fault) => {
      const { severity, findings, probability, against } = fault;
      const sign = severity === "service" ? bad("service") : doubt("watch");
      const sure = probability === undefined ? "" : ` (${Math.round(100 * probability)} %)`;
      const more = findings
        .slice(1, mostShared)
        .map((finding) => formatSharedFinding(finding, against));
      const [first, ...further] = wrapText(
        `${severity}: ${formatSharedFault(fault)}${sure}`,
        style.width,
        mark,
        "    ",
      );
      return [
        `${mark}${sign}${first.slice(mark.length + severity.length)}`,
        ...further,
        ...more.flatMap((line) => wrapText(line, style.width, "    ")),
        ...wrapText(formatSharedLook(fault), style.width, "    "),
      ];
    }),
  ];
}

const mostShared = 4;

/** What several strips have in common. */
function remarkLines({ remarks }: Round, width: number): readonly string[] {
  return remarks.length === 0 ? [] : ["", ...remarks.flatMap((line) => wrapText(line, width))];
}

function smallFamilyLines(round: Round, width: number): readonly string[] {
  const lines = listSmallFamilies(round).map((family) => {
    const count = round.paths.filter((p) => p.family === family && p.status === "measured").length;
    return count === 1
      ? `${family}: only one path was measured, so it can be judged only by limits and a baseline.`
      : `${family}: two paths were measured and compared only with each other, so the uncertainty is large.`;
  });
  return lines.length === 0 ? [] : ["", ...lines.flatMap((line) => wrapText(line, width))];
}

function doubtLines(round: Round, style: ReportStyle): readonly string[] {
  const { warnings } = round;
  if (warnings.length === 0) return [];
  const { doubt } = createPalette(style);
  const lines = warnings.flatMap((w) => wrapText(w, style.width, "  - ", "    "));
  // Above the verdict: if returns may be assigned to the wrong paths, every line below is doubtful.
  return [doubt("Warnings. Resolve these before relying on the results below:"), ...lines, ""];
}
