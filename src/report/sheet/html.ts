import type { RunSheet, RunSheetPatch } from "../../service/run-sheet.js";
import { html, type Markup } from "../html/markup.js";
import { renderSheetPage } from "./page.js";
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

/**
 * The run sheet as one self-contained HTML page for printing in black on A4 or Letter: no patch is
 * split between pages, and every page repeats the column heads.
 */
export function renderSheetHtml(sheet: RunSheet): string {
  const { desk, steps, inputs, patches, heardIn } = sheet;
  return renderSheetPage({
    desk,
    cautions: listSheetCautions(sheet),
    headLines: formatHeadLines(sheet).slice(1),
    steps,
    body: html`<table class="inputs">
<thead><tr><th>input</th><th>at the socket</th><th>pad</th><th>set-up</th></tr></thead>
<tbody>
${inputs.map(
  (input) =>
    html`<tr><th>${input.name}</th><td>${formatLevel(input)}</td><td>${
      input.padDb === undefined ? "none" : `${input.padDb} dB`
    }</td><td>${input.setup}</td></tr>\n`,
)}</tbody>
</table>
${moveTable(sheet)}<h2 class="paths">Paths</h2>
<p>Set what is in <b>bold</b>; the other controls are as the sheet left them.${
      heardIn === undefined ? "" : ` The results are those of round ${heardIn}.`
    }</p>
<table class="patches">
<thead><tr><th>done</th><th>nr</th><th>path</th><th>at the socket, plug, controls</th><th>result</th><th>remark</th></tr></thead>
<tbody>
${patches.map(patchRow)}</tbody>
</table>
`,
    command: formatAnalyzeCommand(sheet),
  });
}

/** What to move and when, once for all paths of a controls pass. */
function moveTable(sheet: RunSheet): Markup {
  const tables = listMoveTables(sheet);
  return html`${tables.map(({ file, moves }) => {
    const title = tables.length > 1 ? `Moves of ${file}` : "Moves";
    return html`<h2>${title}</h2>
<table class="inputs">
<thead><tr>${[...moveHeads, "control"].map((head) => html`<th>${head}</th>`)}</tr></thead>
<tbody>
${moves.map(
  (move) =>
    html`<tr>${formatMoveCells(move).map((cell) => html`<td>${cell}</td>`)}<td>${move.hand} <b>${move.control}</b></td></tr>
`,
)}</tbody>
</table>
`;
  })}`;
}

function patchRow(patch: RunSheetPatch): Markup {
  const pad = formatPad(patch);
  const settings = patch.settings.map(({ control, to, move }, k) => {
    const sign = k === 0 ? "" : "; ";
    const words = `${control}: ${to}`;
    return move === "set" ? html`${sign}<b>${words}</b>` : html`${sign}${words}`;
  });
  const padLine = patch.pad === "as it is" ? html`, ${pad}` : html`, <b>${pad}</b>`;
  return html`<tr><td class="tick"><span></span></td><td>${patch.number}</td><th>${patch.path}</th><td><div>${formatLevel(
    patch,
  )}${pad === "" ? "" : padLine}</div><div>${patch.plug}</div>${
    patch.file === undefined ? "" : html`<div>play ${patch.file}</div>`
  }${
    settings.length === 0 ? "" : html`<div>${settings}</div>`
  }</td><td class="room">${patch.heard ?? ""}</td><td class="room"></td></tr>\n`;
}
