import type { PassSheet, PassSheetPlay } from "../../service/pass-sheet.js";
import { html, type Markup } from "../html/markup.js";
import { renderSheetPage } from "./page.js";
import {
  formatLeft,
  formatOpening,
  formatPassCommand,
  formatPassTitle,
  listPassHeadLines,
} from "./pass-text.js";
import { formatLevel, listSheetCautions } from "./phrases.js";

/** The run sheet of passes as one HTML page, to print in black on A4 or Letter. */
export function renderPassSheetHtml(sheet: PassSheet): string {
  const { desk, steps, inputs, passes, left } = sheet;
  return renderSheetPage({
    desk,
    cautions: listSheetCautions(sheet),
    headLines: listPassHeadLines(sheet).slice(1),
    steps,
    body: html`<ul>
${inputs.map(
  (input) =>
    html`<li>${input.name}: ${formatLevel(input)} at the socket${
      input.padDb === undefined ? "" : `, ${input.padDb} dB pad`
    }. ${input.setup}</li>\n`,
)}</ul>
${passes.map(
  (pass) => html`<h2>${formatPassTitle(pass)}</h2>
<p>${formatOpening(pass)}. Set what is in <b>bold</b>.</p>
<table class="inputs">
<thead><tr><th>done</th><th>output</th><th>path</th><th>at the socket</th><th>plug, routing, controls</th><th>remark</th></tr></thead>
<tbody>
${pass.plays.map(row)}</tbody>
</table>
`,
)}`,
    command: formatPassCommand(sheet),
    ...(left.length === 0 ? {} : { end: html`<p>${formatLeft(left)}</p>\n` }),
  });
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
