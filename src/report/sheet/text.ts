import type { RunSheet, RunSheetInput, RunSheetPatch } from "../../service/run-sheet.js";
import { sanitizeLine } from "../sanitize.js";
import { wrapText } from "../wrap.js";
import {
  formatAnalyzeCommand,
  formatHeadLines,
  formatLevel,
  formatMoveCells,
  formatPad,
  listMoveTables,
  listSheetCautions,
  moveHeads,
} from "./phrases.js";

/** Fits a terminal and a page of A4 or letter. */
const width = 80;
const indent = "     ";

/** The run sheet as plain text, to print and tick. */
export function renderSheetText(sheet: RunSheet): string {
  return [
    ...heading(sheet),
    "",
    "BEFORE ANYTHING PLAYS",
    ...listSheetCautions(sheet).flatMap((caution) => wrapText(caution, width, "  !  ", indent)),
    "",
    "SETTING UP",
    ...sheet.steps.flatMap((step, i) => wrapText(step, width, numbered(i + 1), indent)),
    "",
    "INPUTS",
    ...sheet.inputs.flatMap(inputLines),
    "",
    ...moveLines(sheet),
    "PATHS     (* set this; the other controls are as the sheet left them)",
    ...patchLines(sheet),
    "",
    "AFTERWARDS",
    ...wrapText(formatAnalyzeCommand(sheet), width, indent),
    "",
  ].join("\n");
}

function heading(sheet: RunSheet): readonly string[] {
  return formatHeadLines(sheet).flatMap(([word, text], i) =>
    wrapText(sanitizeLine(text), width, (i === 0 ? "RUN SHEET" : word).padEnd(12), " ".repeat(12)),
  );
}

/** An input's level, pad and set-up. */
export function inputLines(input: RunSheetInput): readonly string[] {
  const pad = input.padDb === undefined ? "" : `, ${input.padDb} dB pad`;
  return [
    ...wrapText(`${input.name}: ${formatLevel(input)} at the socket${pad}`, width, indent),
    ...(input.setup === "" ? [] : wrapText(sanitizeLine(input.setup), width, `${indent}  `)),
  ];
}

/** What to move and when, once for all paths. */
function moveLines(sheet: RunSheet): readonly string[] {
  const tables = listMoveTables(sheet);
  const row = (cells: readonly string[]) => `${indent}${cells.map((c) => c.padEnd(11)).join("")}`;
  return tables.flatMap(({ file, moves }) => [
    "MOVES     (minutes and seconds of the signal)",
    ...(tables.length > 1 ? [`${indent}${file}`] : []),
    `${row(moveHeads)}control`,
    ...moves.map(
      (move) => `${row(formatMoveCells(move))}${move.hand} ${sanitizeLine(move.control)}`,
    ),
    "",
  ]);
}

function patchLines(sheet: RunSheet): readonly string[] {
  const { patches } = sheet;
  const numberWidth = String(patches.length).length;
  const pathWidth = Math.max(0, ...patches.map(({ path }) => path.length));
  return patches.flatMap((patch) => {
    const { number, path, settings } = patch;
    const pad = formatPad(patch);
    const start = `[ ]  ${String(number).padStart(numberWidth)}  ${path.padEnd(pathWidth)}  `;
    const first = `${start}${formatLevel(patch)}${pad === "" ? "" : `  ${pad}`}`;
    const fits =
      first.length <= width ? [first] : [`${start}${formatLevel(patch)}`, `${indent}${pad}`];
    const set = settings.map(({ control, to, move }) => {
      return `${move === "set" ? "*" : ""}${control}: ${to}`;
    });
    return [
      "",
      ...fits,
      ...wrapText(sanitizeLine(patch.plug), width, `${indent}plug    `, `${indent}        `),
      ...(set.length === 0
        ? []
        : wrapText(sanitizeLine(set.join("; ")), width, `${indent}set     `, `${indent}        `)),
      ...(patch.file === undefined
        ? []
        : wrapText(patch.file, width, `${indent}play    `, `${indent}        `)),
      ...heardLines(patch),
    ];
  });
}

/** The result and space for a remark. */
function heardLines({ heard }: RunSheetPatch): readonly string[] {
  if (heard === undefined) {
    return [`${indent}result  ${"_".repeat(22)}  remark ${"_".repeat(width - 44)}`];
  }
  return [
    ...wrapText(plain(heard), width, `${indent}result  `, `${indent}        `),
    `${indent}remark  ${"_".repeat(width - 13)}`,
  ];
}

/** Replaces characters that an old printer may not have. */
function plain(text: string): string {
  return sanitizeLine(text).replaceAll("−", "-").replaceAll("±", "+/-");
}

function numbered(number: number): string {
  return `${String(number).padStart(3)}. `;
}
