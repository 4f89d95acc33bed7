import type { RunSheet, RunSheetPatch } from "../../service/run-sheet.js";
import { escapeMarkdown } from "../markdown.js";
import { sanitizeLine } from "../sanitize.js";
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

/** The run sheet as Markdown: a list to tick, and a table of results. */
export function renderSheetMarkdown(sheet: RunSheet): string {
  const { desk, steps, inputs, patches } = sheet;
  return [
    `# Run sheet: ${text(desk)}`,
    "",
    "## Before anything plays",
    "",
    ...listSheetCautions(sheet).map((caution) => `- **${text(caution)}**`),
    "",
    ...formatHeadLines(sheet)
      .slice(1)
      .map(([word, words]) => `- ${word}: ${text(words)}`),
    "",
    "## Setting up",
    "",
    ...steps.map((step, i) => `${i + 1}. ${text(step)}`),
    "",
    "## Inputs",
    "",
    ...inputs.map((input) => {
      const pad = input.padDb === undefined ? "" : `, ${input.padDb} dB pad`;
      return `- ${text(`${input.name}: ${formatLevel(input)} at the socket${pad}. ${input.setup}`)}`;
    }),
    "",
    ...moveTable(sheet),
    "## Paths",
    "",
    "Set what is in bold; the other controls are as the sheet left them.",
    "",
    "| done | nr | path | at the socket | plug | set | result | remark |",
    "| ---- | -- | ---- | ------------- | ---- | --- | ----- | ------ |",
    ...patches.map(row),
    "",
    "## Afterwards",
    "",
    `    ${formatAnalyzeCommand(sheet)}`,
    "",
  ].join("\n");
}

function moveTable(sheet: RunSheet): readonly string[] {
  const tables = listMoveTables(sheet);
  return tables.flatMap(({ file, moves }) => [
    tables.length > 1 ? `## Moves of ${text(file)}` : "## Moves",
    "",
    `| ${[...moveHeads, "control"].join(" | ")} |`,
    "| --- | --- | --- | --- | --- |",
    ...moves.map(
      (move) => `| ${formatMoveCells(move).join(" | ")} | ${move.hand} ${text(move.control)} |`,
    ),
    "",
  ]);
}

function row(patch: RunSheetPatch): string {
  const set = patch.settings.map(({ control, to, move }) => {
    const words = text(`${control}: ${to}`);
    return move === "set" ? `**${words}**` : words;
  });
  const pad = formatPad(patch);
  const plug = [
    ...(patch.file === undefined ? [] : [text(patch.file)]),
    ...(pad === "" ? [] : [text(pad)]),
    text(patch.plug),
  ].join("; ");
  const cells = [
    "\\[ \\]",
    String(patch.number),
    text(patch.path),
    text(formatLevel(patch)),
    plug,
    set.join("; "),
    text(patch.heard ?? ""),
    "",
  ];
  return `| ${cells.join(" | ")} |`;
}

function text(words: string): string {
  return escapeMarkdown(sanitizeLine(words));
}
