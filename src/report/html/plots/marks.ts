import type { Mark } from "../../../measure/types.js";
import type { SignalTable } from "../../../signal/table.js";
import { counted } from "../../figures.js";
import { html, type Markup } from "../markup.js";
import { knownSignal } from "../names.js";
import { type Axis, area, evenAxis, valueAxis } from "./axes.js";
import { type FigureKind, plotElement } from "./figure.js";
import { fine, frame } from "./frame.js";

const leastSpanDb = 20;

/** Clicks, clipping and dropouts along the signal. */
export const marksFigure: FigureKind = {
  id: "marks",
  title: "Clicks, clipping and dropouts along the signal",
  draw(drawing) {
    const { path, signal, pieces } = drawing;
    const { marks = [] } = path;
    if (marks.length === 0) return { absent: "none in this return" };
    const table = knownSignal(signal);
    const lengthS = table?.lengthS ?? Math.max(...marks.map(({ atS }) => atS));
    const x = evenAxis(0, lengthS, "time in the signal, s");
    const over = marks.flatMap((mark) => (mark.kind === "click" ? [mark.overDb] : []));
    const y = valueAxis([0, ...over], leastSpanDb, "dB above the background");
    const label = `${path.path}: ${countWords(marks)}.`;
    const body = html`${frame(pieces, x, y)}${table && pieces.use("signal-parts", (id) => parts(id, table, x))}${marks.map((mark) => markShape(mark, x, y))}`;
    const caption =
      "Stems: clicks, their peak above the usual peak. Bars at the top: clipping of the converter (filled) and dropouts (open). Beneath: the signal's parts.";
    return { label, caption, svg: plotElement(label, body) };
  },
};

/** The parts of the signal as lines with their names. */
function parts(id: string, { segments }: SignalTable, x: Axis): Markup {
  return html`<g id="${id}">${segments
    .filter(({ kind }) => kind !== "marker")
    .map(({ name, startS, lengthS }, k) => {
      const [from, to] = [fine(x.place(startS)), fine(x.place(startS + lengthS))];
      const y = area.bottom - 4 - (k % 2) * 11;
      return html`<path class="part" d="M${from} ${y}H${to}"/><text class="note" x="${from}" y="${y - 2.5}">${name}</text>`;
    })}</g>`;
}

function markShape(mark: Mark, x: Axis, y: Axis): Markup {
  const at = fine(x.place(mark.atS));
  if (mark.kind === "click") {
    const top = fine(y.place(mark.overDb));
    return html`<path class="stem" d="M${at} ${area.bottom}V${top}"/><circle class="head" cx="${at}" cy="${top}" r="2.2"/>`;
  }
  const width = Math.max(2, fine(x.place(mark.untilS) - x.place(mark.atS)));
  return html`<rect class="${mark.kind}" x="${at}" y="${area.top - 6}" width="${width}" height="6"/>`;
}

function countWords(marks: readonly Mark[]): string {
  const words = { click: "click", clipped: "clipped stretch", dropout: "dropout" } as const;
  return (["click", "clipped", "dropout"] as const)
    .flatMap((kind) => {
      const count = marks.filter((mark) => mark.kind === kind).length;
      if (count === 0) return [];
      return [
        kind === "clipped" && count > 1
          ? `${count} clipped stretches`
          : counted(count, words[kind]),
      ];
    })
    .join(", ");
}
