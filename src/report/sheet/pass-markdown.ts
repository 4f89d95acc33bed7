import type { PassSheet } from "../../service/pass-sheet.js";
import { escapeMarkdown } from "../markdown.js";
import { sanitizeLine } from "../sanitize.js";
import {
  formatLeft,
  formatOpening,
  formatPassCommand,
  formatPassTitle,
  formatPlay,
  listPassHeadLines,
} from "./pass-text.js";
import { formatLevel, listSheetCautions } from "./phrases.js";

/** The run sheet of passes as Markdown. */
export function renderPassSheetMarkdown(sheet: PassSheet): string {
  return [
    `# Run sheet: ${text(sheet.desk)}`,
    "",
    "## Before anything plays",
    "",
    ...listSheetCautions(sheet).map((caution) => `- **${text(caution)}**`),
    "",
    ...listPassHeadLines(sheet)
      .slice(1)
      .map(([word, words]) => `- ${word}: ${text(words)}`),
    "",
    "## Setting up",
    "",
    ...sheet.steps.map((step, i) => `${i + 1}. ${text(step)}`),
    "",
    "## Inputs",
    "",
    ...sheet.inputs.map((input) => {
      const pad = input.padDb === undefined ? "" : `, ${input.padDb} dB pad`;
      return `- ${text(`${input.name}: ${formatLevel(input)} at the socket${pad}. ${input.setup}`)}`;
    }),
    "",
    "## Passes",
    ...sheet.passes.flatMap((pass) => [
      "",
      `### \\[ \\] ${text(formatPassTitle(pass))}`,
      "",
      `${text(formatOpening(pass))}.`,
      "",
      ...pass.plays.map((play) => {
        const set = play.settings.filter(({ move }) => move === "set");
        const words = set.map(({ control, to }) => `**${text(`${control}: ${to}`)}**`).join("; ");
        return `- \\[ \\] ${text(formatPlay(play))}${words === "" ? "" : `; set ${words}`}`;
      }),
    ]),
    "",
    "## Afterwards",
    "",
    `    ${formatPassCommand(sheet)}`,
    ...(sheet.left.length === 0 ? [] : ["", text(formatLeft(sheet.left))]),
    "",
  ].join("\n");
}

function text(words: string): string {
  return escapeMarkdown(sanitizeLine(words));
}
