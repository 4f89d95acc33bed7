import type { Round, RoundControl, RoundPath } from "../history/types.js";
import { countSeenToMove } from "../measure/controls/count-seen-to-move.js";
import type { ControlEvent } from "../measure/controls/types.js";
import { formatCount } from "../text/format-count.js";
import { formatSigned } from "../text/format-signed.js";
import { sanitizeLine } from "./sanitize.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { wrapText } from "./wrap.js";

/** Whether a stored round is a controls pass, which holds controls instead of readings. */
export function isControlsPass({ signal }: Round): boolean {
  return signal.profile === "controls";
}

/** A controls pass as plain text: which controls need attention, what they did, and when. */
export function renderControlsPass(round: Round, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const { warnings } = round;
  const bad = round.paths.flatMap((path) =>
    unsound(path).map((report) => ({ path: path.path, report })),
  );
  return [
    strong(`${sanitizeLine(round.desk.name)}, ${title(round)}`),
    "",
    ...wrapText(verdict(round, bad.length), width).map((line) => strong(line)),
    "",
    ...(warnings.length === 0
      ? []
      : [
          "Warnings. Resolve these before relying on the results below:",
          ...warnings.flatMap((line) => wrapText(line, width, "  - ", "    ")),
          "",
        ]),
    ...recordedLines(round, width),
    ...(bad.length === 0 ? [] : ["", ...badTable(bad, width)]),
    ...unseenLines(round, width),
    "",
  ].join("\n");
}

/** One path of a controls pass: every control, and what it did when. */
export function renderControlsPassPath(round: Round, path: RoundPath, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const controls = path.controls ?? [];
  return [
    strong(`${path.path} of ${sanitizeLine(round.desk.name)}, ${title(round)}`),
    "",
    ...(controls.length === 0
      ? wrapText(`Not measured: ${path.reason ?? path.status}.`, width)
      : []),
    ...controls.flatMap((report) => [
      `${sanitizeLine(report.control)} (${spanWords(report)}): ${report.verdicts.map(formatVerdict).join(", ")}`,
      ...wrapText(countWords(report), width, "  "),
      ...(report.points === undefined
        ? []
        : wrapText(report.points, width, "  confirm  ", "           ")),
      ...[...report.events]
        .sort((a, b) => a.atS - b.atS)
        .map((event) => `    ${eventWords(event)}`),
    ]),
    "",
    "Times count from the first sample of the signal; the worst events are listed, in order of time.",
    "",
  ].join("\n");
}

function title({ id }: Round): string {
  return id === "preview" ? "preview of a controls pass, not stored" : `controls pass ${id}`;
}

/** `sound` would read as audio. */
function formatVerdict(verdict: RoundControl["verdicts"][number]): string {
  return verdict === "sound" ? "OK" : verdict;
}

function unsound({ controls = [] }: RoundPath): readonly RoundControl[] {
  return controls.filter(isUnsound);
}

/** Whether a control did something unwanted. */
export function isUnsound({ verdicts }: RoundControl): boolean {
  return !verdicts.includes("sound");
}

function verdict({ paths }: Round, bad: number): string {
  const all = paths.reduce((sum, { controls = [] }) => sum + controls.length, 0);
  if (bad === 0) {
    const seen = countSeenToMove(paths);
    const heard = "nothing unwanted found";
    if (seen === 0) {
      return `No pass: the level does not show that ${all === 1 ? "the control" : `any of ${formatCount(all, "control")}`} was moved. Move them as the sheet says, and record it again.`;
    }
    return seen === all
      ? `${formatCount(all, "control")} moved, ${heard}.`
      : `${seen} of ${formatCount(all, "control")} seen to move, ${heard}; nothing is known about the others.`;
  }
  const named = paths
    .flatMap((path) => {
      const names = unsound(path).map(({ control }) => sanitizeLine(control));
      return names.length === 0 ? [] : [`${path.path} ${names.join(" and ")}`];
    })
    .slice(0, 8);
  const what = bad === 1 ? "needs" : "need";
  return `${bad} of ${formatCount(all, "control")} ${what} attention: ${named.join("; ")}.`;
}

function recordedLines({ paths, signal, captures }: Round, width: number): readonly string[] {
  const measured = paths.filter(({ status }) => status === "measured").length;
  const how = `controls signal, ${signal.sampleRate / 1000} kHz, ${formatCount(captures.length, "recording")}`;
  const missing = paths.filter(({ status }) => status === "missing").map(({ path }) => path);
  const unusable = paths.filter(({ status }) => status === "unusable");
  return [
    ...wrapText(`${measured} of ${formatCount(paths.length, "path")} recorded (${how}).`, width),
    ...(missing.length === 0 ? [] : wrapText(missing.join(", "), width, "Missing: ", "  ")),
    ...unusable.flatMap(({ path, reason }) =>
      wrapText(`${path}: ${reason}`, width, "Unusable: ", "  "),
    ),
  ];
}

function badTable(
  bad: readonly { readonly path: string; readonly report: RoundControl }[],
  width: number,
): readonly string[] {
  const columns = [
    { head: "path", width: 11 },
    { head: "control", width: 15 },
    { head: "what it does", width: 22 },
    { head: "what it points to", width: width - 48 },
  ];
  const rows = bad.map(({ path, report }) => [
    path,
    sanitizeLine(report.control),
    formatControlDoings(report),
    report.points ?? "",
  ]);
  return [renderTable(columns, rows)];
}

/** What a control did, in short: "scratchy: 5 scratches, first at 0:14.2". */
export function formatControlDoings(report: RoundControl): string {
  return `${report.verdicts.join(", ")}: ${shortWords(report)}`;
}

function shortWords({ scratches, dropouts, jumps, events }: RoundControl): string {
  const first = events.reduce((least, { atS }) => Math.min(least, atS), Number.POSITIVE_INFINITY);
  const said = [
    ...(dropouts > 0 ? [formatCount(dropouts, "dropout")] : []),
    ...(jumps > 0 ? [formatCount(jumps, "jump")] : []),
    ...(scratches.tone > 0 ? [formatCount(scratches.tone, "scratch", "scratches")] : []),
    ...(scratches.silence > 0 ? [`${scratches.silence} in silence`] : []),
    ...(events.some(({ kind }) => kind === "rustle") ? ["rustle"] : []),
  ];
  return `${said.join(", ")}, first at ${clock(first)}`;
}

function countWords(report: RoundControl): string {
  const { scratches, dropouts, jumps, moved, rangeDb, expected } = report;
  const seen =
    moved === "seen"
      ? `Level moved over ${rangeDb.toFixed(0)} dB.`
      : "The level does not show that it was moved.";
  return (
    `${seen} Scratches: ${scratches.tone} under the tone, ${scratches.silence} in the silence ` +
    `(${expected.toFixed(1)} by chance). Dropouts: ${dropouts}. Jumps: ${jumps}.`
  );
}

function eventWords({ kind, during, atS, lengthS, levelDb }: ControlEvent): string {
  const long = lengthS > 0 ? `, ${Math.round(1000 * lengthS)} ms` : "";
  const against = kind === "scratch" || kind === "rustle" ? " against the tone" : "";
  return `${clock(atS)}  ${kind} in the ${during}, ${formatSigned(levelDb.toFixed(0))} dB${against}${long}`;
}

function spanWords({ hand, fromS, untilS }: RoundControl): string {
  return `${hand}, ${clock(fromS)} to ${clock(untilS)}`;
}

/**
 * Controls that may have been forgotten, since the level does not show them moving; this is not a
 * fault.
 */
export function listUnseen(paths: readonly RoundPath[]): readonly string[] {
  return paths.flatMap(({ path, controls = [] }) =>
    controls
      .filter((report) => report.moved === "not seen" && !isUnsound(report))
      .map(({ control }) => `${path} ${sanitizeLine(control)}`),
  );
}

function unseenLines({ paths }: Round, width: number): readonly string[] {
  const names = listUnseen(paths);
  if (names.length === 0) return [];
  const most = 6;
  const more = names.length > most ? ` and ${names.length - most} more` : "";
  return wrapText(
    `The level does not show whether these were moved: ${names.slice(0, most).join(", ")}${more}.`,
    width,
  );
}

/** Minutes and seconds with a tenth. */
function clock(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  return `${minutes}:${(seconds - 60 * minutes).toFixed(1).padStart(4, "0")}`;
}
