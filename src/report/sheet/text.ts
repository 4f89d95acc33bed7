import type { RunSheet, RunSheetInput, RunSheetPatch } from "../../service/run-sheet.js";
import { visible } from "../visible.js";
import { wrap } from "../wrap.js";
import { analyzeWords, headLines, levelWords, moveCells, moveHeads, padWords } from "./words.js";

/** Fits a terminal and a page of A4 or letter. */
const width = 80;
const indent = "     ";

/** The run sheet as plain text, to print and tick. */
export function renderSheetText(sheet: RunSheet): string {
  return [
    ...heading(sheet),
    "",
    "BEFORE ANYTHING PLAYS",
    ...sheet.cautions.flatMap((caution) => wrap(caution, width, "  !  ", indent)),
    "",
    "SETTING UP",
    ...sheet.steps.flatMap((step, i) => wrap(step, width, numbered(i + 1), indent)),
    "",
    "INPUTS",
    ...sheet.inputs.flatMap(inputLines),
    "",
    ...moveLines(sheet),
    "PATHS     (* set this; the other controls are as the sheet left them)",
    ...patchLines(sheet),
    "",
    "AFTERWARDS",
    ...wrap(analyzeWords(sheet), width, indent),
    "",
  ].join("\n");
}

function heading(sheet: RunSheet): readonly string[] {
  return headLines(sheet).flatMap(([word, text], i) =>
    wrap(visible(text), width, (i === 0 ? "RUN SHEET" : word).padEnd(12), " ".repeat(12)),
  );
}

function inputLines(input: RunSheetInput): readonly string[] {
  const pad = input.padDb === undefined ? "" : `, pad of ${input.padDb} dB`;
  return [
    ...wrap(`${input.name}: ${levelWords(input)} at the socket${pad}`, width, indent),
    ...(input.setup === "" ? [] : wrap(visible(input.setup), width, `${indent}  `)),
  ];
}

/** What to move when, once for all paths. */
function moveLines({ moves }: RunSheet): readonly string[] {
  if (moves.length === 0) return [];
  const row = (cells: readonly string[]) => `${indent}${cells.map((c) => c.padEnd(11)).join("")}`;
  return [
    "MOVES     (minutes and seconds of the signal)",
    `${row(moveHeads)}control`,
    ...moves.map((move) => `${row(moveCells(move))}${move.hand} ${visible(move.control)}`),
    "",
  ];
}

function patchLines(sheet: RunSheet): readonly string[] {
  const { patches } = sheet;
  const numberWidth = String(patches.length).length;
  const pathWidth = Math.max(0, ...patches.map(({ path }) => path.length));
  return patches.flatMap((patch) => {
    const { number, path, settings } = patch;
    const pad = padWords(patch);
    const start = `[ ]  ${String(number).padStart(numberWidth)}  ${path.padEnd(pathWidth)}  `;
    const first = `${start}${levelWords(patch)}${pad === "" ? "" : `  ${pad}`}`;
    const fits =
      first.length <= width ? [first] : [`${start}${levelWords(patch)}`, `${indent}${pad}`];
    const set = settings.map(({ control, to, move }) => {
      return `${move === "set" ? "*" : ""}${control}: ${to}`;
    });
    return [
      "",
      ...fits,
      ...wrap(visible(patch.plug), width, `${indent}plug    `, `${indent}        `),
      ...(set.length === 0
        ? []
        : wrap(visible(set.join("; ")), width, `${indent}set     `, `${indent}        `)),
      ...heardLines(patch),
    ];
  });
}

/** Room for a remark beside what was heard. */
function heardLines({ heard }: RunSheetPatch): readonly string[] {
  if (heard === undefined) {
    return [`${indent}heard   ${"_".repeat(22)}  remark ${"_".repeat(width - 44)}`];
  }
  return [
    ...wrap(plain(heard), width, `${indent}heard   `, `${indent}        `),
    `${indent}remark  ${"_".repeat(width - 13)}`,
  ];
}

/** Signs of print that an old printer may not have. */
function plain(text: string): string {
  return visible(text).replaceAll("−", "-").replaceAll("±", "+/-");
}

function numbered(number: number): string {
  return `${String(number).padStart(3)}. `;
}
