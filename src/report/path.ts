import { toDisplayName } from "../capture/containers/open-file.js";
import type { Cause } from "../diagnose/types.js";
import { toMember } from "../history/to-path-to-rank.js";
import type { Round, RoundPath } from "../history/types.js";
import { readingKinds } from "../measure/reading-kinds.js";
import { computeFamilyStats, type FamilyStats } from "../rank/family-stats.js";
import { formatCount } from "../text/format-count.js";
import { formatSigned } from "../text/format-signed.js";
import { formatCommand } from "../text/program-name.js";
import { formatStoredAbsence } from "./absences/format-absence.js";
import { formatEvidence } from "./evidence/format-evidence.js";
import { formatFinding } from "./findings/format-finding.js";
import { formatNamedValue, formatReading, interfaceMark } from "./format-reading.js";
import { formatNextCheck } from "./next-check.js";
import { formatOtherChannels } from "./other-channels.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { formatTakeLines } from "./takes.js";
import { wrapText } from "./wrap.js";

/**
 * One path of a round as plain text: findings, causes, every reading next to its siblings'.
 *
 * @param plot drawn beforehand; it comes below what stands out
 */
export function renderPathReport(
  round: Round,
  path: RoundPath,
  style: ReportStyle,
  plot?: string,
): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  return [
    strong(`${path.path} of ${round.desk.name}, round ${round.id}`),
    ...wrapText(standingLine(round, path), width),
    ...findingLines(path, width),
    ...(plot === undefined ? [] : ["", plot.trimEnd()]),
    ...causeLines(path, width, style),
    ...nextCheckLines(path, width),
    ...readingLines(round, path, width),
    ...formatOtherChannels(path, width),
    ...formatTakeLines(path, width),
    ...closingLines(path, width),
    "",
  ].join("\n");
}

/** The diagnosis once more, since only the end of a long report stays on the terminal. */
function closingLines({ path, causes: [first], findings }: RoundPath, width: number) {
  const serious = findings.find(({ severity }) => severity !== "remark");
  if (serious === undefined) return [];
  const why = first === undefined ? "not clear from the readings" : `${first.name}${chance(first)}`;
  return ["", ...wrapText(`In short: ${path} ${serious.severity}, ${why}.`, width)];
}

function standingLine(round: Round, path: RoundPath): string {
  const ranked = round.paths.filter((p) => p.rank !== undefined).length;
  const place =
    path.rank === undefined
      ? ""
      : ` Oddness ${path.oddness.toFixed(1)}, ${path.rank} of ${ranked}.`;
  if (path.status !== "measured") return `Not measured: ${path.reason ?? "unknown"}.${place}`;
  const files = [path.take?.file, path.take?.endsIn].flatMap((file) => file ?? []);
  const take = files.length > 0 ? ` From ${files.map(toDisplayName).join(", on into ")}.` : "";
  return `Family ${path.family}.${place}${take}`;
}

function findingLines({ findings, rank }: RoundPath, width: number): readonly string[] {
  if (findings.length === 0) return rank === undefined ? [] : ["", "Nothing stands out."];
  return [
    "",
    "WHAT STANDS OUT",
    ...findings.flatMap((f) =>
      wrapText(
        `${formatFinding(f)} (score ${formatSigned(f.score.toFixed(1))})`,
        width,
        `  ${f.severity.padEnd(8)} `,
        "           ",
      ),
    ),
  ];
}

function causeLines({ causes }: RoundPath, width: number, style: ReportStyle): readonly string[] {
  if (causes.length === 0) return [];
  const { strong } = createPalette(style);
  return [
    "",
    causes.length === 1 ? "LIKELY CAUSE" : "LIKELY CAUSES, most likely first",
    ...causes.flatMap((cause, i) => [
      ...wrapText(
        `${cause.name}${chance(cause)}${cause.kind === "fault" ? "" : ` (${cause.kind}, not a fault)`}`,
        width,
        "  ",
      ).map((line) => strong(line)),
      ...labelled("because", cause.evidence.map(formatEvidence), width),
      ...labelled("although", (cause.against ?? []).map(formatEvidence), width),
      ...labelled("where", cause.where === undefined ? [] : [cause.where], width),
      ...labelled("confirm", [cause.confirmBy], width),
      // What to rule out is listed once, under the most likely cause.
      ...labelled("rule out", i === 0 ? (cause.unlike ?? []) : [], width),
      ...labelled("ready", cause.ready === undefined ? [] : [cause.ready], width),
      ...labelled("care", cause.care === undefined ? [] : [cause.care], width),
    ]),
  ];
}

/** The most worthwhile check, and under it the command that analyzes its recording. */
function nextCheckLines({ path, next, strip, input }: RoundPath, width: number) {
  if (next === undefined) return [];
  const { setting } = next;
  const isOther = setting === "other-input";
  const only = isOther ? `${strip}/…` : path;
  const command =
    setting === undefined
      ? []
      : [formatCommand(`analyze again.wav --only ${only} --setting ${setting}`)];
  return [
    "",
    "CHECK NEXT",
    ...wrapText(`${formatNextCheck(next)}${isOther ? ` (not ${input})` : ""}`, width, "  ", "  "),
    ...command.map((text) => `    ${text}`),
  ];
}

function chance({ probability }: Cause): string {
  return probability === undefined ? "" : `, ${Math.round(100 * probability)} %`;
}

/** Lines with one word in the margin. */
function labelled(label: string, lines: readonly string[], width: number): readonly string[] {
  return lines.flatMap((line) => wrapText(line, width, `    ${label.padEnd(9)}`, "             "));
}

function readingLines(round: Round, path: RoundPath, width: number): readonly string[] {
  const usual = findFamilyStats(round, path);
  const made = readingKinds.flatMap((kind) => {
    const reading = path.readings[kind.id];
    if (!reading) return [];
    const crowd = usual?.readings[kind.id];
    const { values } = kind;
    if (values) {
      const [own, usual] = [reading.value, crowd?.median].map((value) =>
        value === undefined ? "" : formatNamedValue(values, value),
      );
      return [[kind.name, own, usual, ""]];
    }
    const siblings = crowd ? formatSigned(crowd.median.toFixed(crowd.median > 999 ? 0 : 1)) : "";
    const off = crowd ? plus(reading.value - crowd.median) : "";
    return [[kind.name, formatReading(reading), siblings, off]];
  });
  const absent = readingKinds.flatMap(({ id, name }) => {
    const why = formatStoredAbsence(path, id);
    return why === undefined ? [] : [`${name}: ${why}`];
  });
  const lines: string[] = [];
  if (made.length > 0) {
    const columns = [
      { head: "reading", width: 32 },
      { head: "value", width: 26 },
      { head: "siblings", width: 11 },
      { head: "difference", width: 11 },
    ];
    lines.push("", "READINGS (95 % uncertainty)", renderTable(columns, made));
    if (usual) lines.push(`siblings: median of ${formatCount(usual.count, "path")}`);
    if (Object.values(path.readings).some(({ limitedBy }) => limitedBy === "interface")) {
      lines.push(`${interfaceMark} within 3 dB of the interface's own: says little about the path`);
    }
  }
  if (absent.length > 0) {
    lines.push(
      "",
      "NOT MEASURED",
      ...absent.flatMap((line) => wrapText(line, width, "  ", "    ")),
    );
  }
  return lines;
}

function plus(value: number): string {
  const text = value.toFixed(Math.abs(value) > 999 ? 0 : 1);
  return value > 0 && Number(text) !== 0 ? `+${text}` : formatSigned(text);
}

/** Statistics of a path's siblings; undefined if they are too few. */
export function findFamilyStats(round: Round, { family }: RoundPath): FamilyStats | undefined {
  const siblings = round.paths
    .filter((p) => p.family === family && p.status === "measured")
    .map(toMember);
  return computeFamilyStats(siblings);
}
