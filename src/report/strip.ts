import type { Round, RoundPath } from "../history/types.js";
import { getBoundSide } from "../measure/is-bound.js";
import { readingKinds } from "../measure/reading-kinds.js";
import type { Reading } from "../measure/types.js";
import type { Entry } from "../service/notebook/types.js";
import type { FaultyControl } from "../service/plan/from-controls.js";
import type { StripLife } from "../service/plan/life.js";
import { formatSigned } from "../text/format-signed.js";
import { formatCommand } from "../text/program-name.js";
import { formatControlDoings } from "./controls.js";
import { formatFinding } from "./findings/format-finding.js";
import { formatNamedValue } from "./format-reading.js";
import { listLifeLines } from "./life.js";
import { formatNextCheck } from "./next-check.js";
import { formatSummary } from "./notebook.js";
import { findFamilyStats } from "./path.js";
import { sanitizeLine } from "./sanitize.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/** All that is known of a strip. */
export interface StripSheet {
  readonly round: Round;
  readonly strip: string;
  /** Its paths in the round. */
  readonly paths: readonly RoundPath[];
  /** Open notes of it and its inputs. */
  readonly notes: readonly Entry[];
  /** Its controls that did something unwanted when moved. */
  readonly controls: readonly FaultyControl[];
  readonly life: StripLife;
}

/**
 * A strip at a glance: its inputs side by side, what stands out, its notes, what was done, its
 * history.
 */
export function renderStrip(sheet: StripSheet, style: ReportStyle): string {
  const { round, strip, paths, notes, controls, life } = sheet;
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const first = paths.find(({ findings }) => findings.length > 0) ?? paths[0];
  return [
    strong(`Strip ${strip} of ${round.desk.name}, round ${round.id}`),
    "",
    ...paths.flatMap((path) => findingLines(path, width, style)),
    ...controlLines(controls, width),
    ...readingLines(round, paths, width),
    ...(notes.length === 0 ? [] : ["", "OPEN NOTES"]),
    ...notes.flatMap((entry) => {
      const where = entry.line.input === undefined ? "" : `${entry.line.input}: `;
      const start = `  ${entry.id.padEnd(4)} ${entry.line.date.slice(0, 10)}  `;
      return wrapText(where + formatSummary(entry), width, start, " ".repeat(19));
    }),
    ...(life.events.length === 0 ? [] : ["", "HISTORY"]),
    ...listLifeLines(life, width),
    "",
    ...wrapText(`One input in full: ${formatCommand(`show ${first?.path}`)}`, width),
    "",
  ].join("\n");
}

/** What stands out on one input, and why. */
function findingLines(path: RoundPath, width: number, style: ReportStyle): readonly string[] {
  const { strong } = createPalette(style);
  const name = path.input.padEnd(8);
  const next = " ".repeat(name.length + 1);
  if (path.status !== "measured") {
    return wrapText(`not measured: ${path.reason ?? "unknown"}`, width, `${name} `, next);
  }
  const [cause] = path.causes;
  if (path.findings.length === 0 && cause === undefined) return [`${name} like its siblings`];
  const chance =
    cause?.probability === undefined ? "" : ` (${Math.round(100 * cause.probability)} %)`;
  const words = path.findings.map((finding) => formatFinding(finding)).join("; ");
  const [severity] = path.findings.map((finding) => finding.severity);
  const said =
    severity === undefined ? "like its siblings, but by the meter:" : `${severity}: ${words}`;
  return [
    ...wrapText(said, width, `${name} `, next),
    ...(cause === undefined ? [] : wrapText(strong(`${cause.name}${chance}`), width, next)),
    ...(path.next === undefined
      ? []
      : wrapText(`check next: ${formatNextCheck(path.next)}`, width, next)),
  ];
}

/** What the latest controls pass found unwanted. */
function controlLines(controls: readonly FaultyControl[], width: number): readonly string[] {
  if (controls.length === 0) return [];
  return [
    "",
    "CONTROLS THAT NEED ATTENTION",
    ...controls.flatMap(({ pass, input, report }) =>
      wrapText(
        `${sanitizeLine(report.control)} ${formatControlDoings(report)} (controls pass ${pass})`,
        width,
        `${input.padEnd(8)} `,
        " ".repeat(9),
      ),
    ),
  ];
}

const nameWidth = 30;
const columnWidth = 16;

/** The inputs' readings side by side, each with its distance from its siblings. */
function readingLines(round: Round, paths: readonly RoundPath[], width: number): readonly string[] {
  const measured = paths.filter(({ status }) => status === "measured");
  if (measured.length === 0) return [];
  const perTable = Math.max(1, Math.floor((width - nameWidth) / columnWidth));
  const lines = ["", "READINGS, and how far from the siblings' median"];
  for (let start = 0; start < measured.length; start += perTable) {
    const shown = measured.slice(start, start + perTable);
    const usual = shown.map((path) => findFamilyStats(round, path));
    const rows = readingKinds.flatMap((kind) => {
      if (kind.detail && !shown.some((path) => path.findings.some((f) => f.reading === kind.id))) {
        return [];
      }
      const cells = shown.map((path, k) => {
        const reading = path.readings[kind.id];
        if (reading === undefined) return "";
        if (kind.values) return formatNamedValue(kind.values, reading.value);
        const digits = getCellDecimals(reading.value, kind.least);
        const value = reading.value.toFixed(digits);
        const median = usual[k]?.readings[kind.id]?.median;
        const off = median === undefined ? undefined : reading.value - median;
        const beside = off === undefined ? "" : ` (${plus(off, digits)})`;
        return `${boundMark(reading)}${formatSigned(value)}${beside}`;
      });
      if (cells.every((cell) => cell === "")) return [];
      const [unit = ""] = shown.flatMap((path) => path.readings[kind.id]?.unit ?? []);
      return [[kind.values || unit === "" ? kind.name : `${kind.name}, ${unit}`, ...cells]];
    });
    const columns = [
      { head: "", width: nameWidth },
      ...shown.map(({ input }) => ({ head: input, width: columnWidth })),
    ];
    lines.push(renderTable(columns, rows));
  }
  return lines;
}

/** "<" before a reading that is an upper bound because of noise. */
function boundMark(reading: Reading): string {
  const side = getBoundSide(reading);
  return side === undefined ? "" : side === "upper" ? "<" : ">";
}

/** One decimal; none for four digits or more, two if hundredths matter. */
function getCellDecimals(value: number, least: number): number {
  if (Math.abs(value) >= 1000) return 0;
  return least > 0 && least < 0.1 ? 2 : 1;
}

function plus(value: number, digits: number): string {
  const text = value.toFixed(digits);
  return value > 0 && Number(text) !== 0 ? `+${text}` : formatSigned(text);
}
