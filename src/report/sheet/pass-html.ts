import { createHash } from "node:crypto";
import type { PassSheet, PassSheetPlay } from "../../service/pass-sheet.js";
import { html, type Markup, rawMarkup } from "../html/markup.js";
import {
  formatLeft,
  formatOpen,
  formatPassCommand,
  formatPassTitle,
  listPassHeadLines,
} from "./pass-text.js";
import { formatLevel } from "./phrases.js";
import { printStyle } from "./style.js";

/** The run sheet of passes as one HTML page, to print in black on A4 or Letter. */
export function renderPassSheetHtml(sheet: PassSheet): string {
  const hash = createHash("sha256").update(printStyle).digest("base64");
  const policy = `default-src 'none'; style-src 'sha256-${hash}'; base-uri 'none'; form-action 'none'`;
  const page = html`<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Run sheet: ${sheet.desk}</title>
<style>${rawMarkup(printStyle)}</style>
</head>
<body>
<h1>Run sheet: ${sheet.desk}</h1>
<section class="cautions">
<h2>Before anything plays</h2>
<ul>
${sheet.cautions.map((caution) => html`<li>${caution}</li>\n`)}</ul>
</section>
<dl>
${listPassHeadLines(sheet)
  .slice(1)
  .map(([word, text]) => html`<dt>${word}</dt><dd>${text}</dd>\n`)}</dl>
<h2>Setting up</h2>
<ol>
${sheet.steps.map((step) => html`<li>${step}</li>\n`)}</ol>
<h2>Inputs</h2>
<ul>
${sheet.inputs.map(
  (input) =>
    html`<li>${input.name}: ${formatLevel(input)} at the socket${
      input.padDb === undefined ? "" : `, pad of ${input.padDb} dB`
    }. ${input.setup}</li>\n`,
)}</ul>
${sheet.passes.map(
  (pass) => html`<h2>${formatPassTitle(pass)}</h2>
<p>Open strips ${formatOpen(pass.open)}, mute all others. Set what is in <b>bold</b>.</p>
<table class="inputs">
<thead><tr><th>done</th><th>output</th><th>path</th><th>at the socket</th><th>plug, routing, controls</th><th>remark</th></tr></thead>
<tbody>
${pass.plays.map(row)}</tbody>
</table>
`,
)}<h2>Afterwards</h2>
<p><code>${formatPassCommand(sheet)}</code></p>
${sheet.left.length === 0 ? html`` : html`<p>${formatLeft(sheet.left)}</p>\n`}</body>
</html>
`;
  return page.text;
}

function row(play: PassSheetPlay): Markup {
  const { output, path, plug, padDb, bus, channel, settings } = play;
  const pad = padDb === undefined ? html`` : html`, <b>pad ${padDb} dB</b>`;
  const set = settings.filter(({ move }) => move === "set");
  return html`<tr><td class="tick"><span></span></td><td>${output}</td><th>${path}</th><td>${formatLevel(play)}</td><td><div>${
    plug ?? "stays"
  }${pad}</div>${bus === undefined ? html`` : html`<div>route to <b>${bus}</b></div>`}${
    channel === undefined ? html`` : html`<div>channel ${channel}</div>`
  }${set.map(({ control, to }) => html`<div><b>${control}: ${to}</b></div>`)}</td><td class="room"></td></tr>\n`;
}
