import { createHash } from "node:crypto";
import { html, type Markup, rawMarkup, renderCode } from "../html/markup.js";
import { printStyle } from "./style.js";

/** What the page of every run sheet has, above and below the list of what to play. */
export interface SheetPage {
  readonly desk: string;
  readonly cautions: readonly string[];
  /** What the signal is and how it is recorded: labels and texts. */
  readonly headLines: readonly (readonly [word: string, text: string])[];
  readonly steps: readonly string[];
  /** Inputs and what is played. */
  readonly body: Markup;
  /** The command that reads the recordings. */
  readonly command: string;
  /** Printed below the command. */
  readonly end?: Markup;
}

/** A run sheet as one self-contained HTML page, for printing in black on A4 or Letter. */
export function renderSheetPage(page: SheetPage): string {
  const { desk, cautions, headLines, steps, body, command, end = html`` } = page;
  const hash = createHash("sha256").update(printStyle).digest("base64");
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  return html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Run sheet: ${desk}</title>
<style>${rawMarkup(printStyle)}</style>
</head>
<body>
<h1>Run sheet: ${desk}</h1>
<section class="cautions">
<h2>Before anything plays</h2>
<ul>
${cautions.map((caution) => html`<li>${caution}</li>\n`)}</ul>
</section>
<dl>
${headLines.map(([word, text]) => html`<dt>${word}</dt><dd>${text}</dd>\n`)}</dl>
<h2>Setting up</h2>
<ol>
${steps.map((step) => html`<li>${renderCode(step)}</li>\n`)}</ol>
<h2>Inputs</h2>
${body}<h2>Afterwards</h2>
<p><code>${command}</code></p>
${end}</body>
</html>
`.text;
}
