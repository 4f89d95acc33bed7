import { summarizeBreaks } from "../../../diagnose/level-breaks.js";
import type { ReturnEvent } from "../../../measure/types.js";
import type { SignalTable } from "../../../signal/types.js";
import { formatCount } from "../../../text/format-count.js";
import { formatEvidence } from "../../evidence/format-evidence.js";
import { html, type Markup } from "../markup.js";
import { findSignalTable } from "../names.js";
import { type Axis, buildEvenAxis, buildValueAxis, plotArea } from "./axes.js";
import type { FigureKind } from "./figure.js";
import { renderFrame, roundCoordinate } from "./frame.js";

const leastSpanDb = 20;
const leastBreakSpanDb = 3;

/** Clicks, breaks of the level, clipping and dropouts along the signal. */
export const marksFigure: FigureKind = {
  id: "marks",
  title: "Clicks, level breaks, clipping and dropouts along the signal",
  draw(drawing) {
    const { path, signal, pieces } = drawing;
    const { marks = [] } = path;
    if (marks.length === 0) return { absent: "none in this return" };
    const table = findSignalTable(signal);
    const lengthS = table?.lengthS ?? Math.max(...marks.map(({ atS }) => atS));
    const x = buildEvenAxis(0, lengthS, "time in the signal, s");
    const over = marks.flatMap((mark) => (mark.kind === "click" ? [mark.overDb] : []));
    const deep = marks.flatMap((mark) => (mark.kind === "level-break" ? [mark.levelDb] : []));
    const y = buildValueAxis(
      [0, ...over, ...deep],
      over.length > 0 ? leastSpanDb : leastBreakSpanDb,
      deep.length === 0 ? "dB above the background" : "dB, see below",
    );
    const label = `${path.path}: ${countWords(marks)}.`;
    const body = html`${renderFrame(pieces, x, y)}${table && pieces.use("signal-parts", (id) => parts(id, table, x))}${marks.map((mark) => markShape(mark, x, y))}`;
    const caption =
      "Stems: clicks, peak above the usual peak. Boxes from 0: breaks in the level, to scale in depth and length. Bars at the top: clipping of the converter (filled) and dropouts of the recording (open). Bottom: the parts of the signal.";
    return { label, caption, plot: { label, body } };
  },
};

/** The parts of the signal as lines with their names. */
function parts(id: string, { segments }: SignalTable, x: Axis): Markup {
  return html`<g id="${id}">${segments
    .filter(({ kind }) => kind !== "marker")
    .map(({ name, startS, lengthS }, k) => {
      const [from, to] = [
        roundCoordinate(x.place(startS)),
        roundCoordinate(x.place(startS + lengthS)),
      ];
      const y = plotArea.bottom - 4 - (k % 2) * 11;
      return html`<path class="part" d="M${from} ${y}H${to}"/><text class="note" x="${from}" y="${y - 2.5}">${name}</text>`;
    })}</g>`;
}

function markShape(mark: ReturnEvent, x: Axis, y: Axis): Markup {
  const at = roundCoordinate(x.place(mark.atS));
  if (mark.kind === "click") {
    const top = roundCoordinate(y.place(mark.overDb));
    return html`<path class="stem" d="M${at} ${plotArea.bottom}V${top}"/><circle class="head" cx="${at}" cy="${top}" r="2.2"/>`;
  }
  if (mark.kind === "level-break") {
    const [zero, end] = [y.place(0), y.place(mark.levelDb)].map(roundCoordinate);
    const width = Math.max(1.5, roundCoordinate(x.place(mark.untilS) - x.place(mark.atS)));
    return html`<rect class="break" x="${at}" y="${Math.min(zero, end)}" width="${width}" height="${Math.max(1, Math.abs(end - zero))}"/>`;
  }
  const width = Math.max(2, roundCoordinate(x.place(mark.untilS) - x.place(mark.atS)));
  return html`<rect class="${mark.kind}" x="${at}" y="${plotArea.top - 6}" width="${width}" height="6"/>`;
}

function countWords(marks: readonly ReturnEvent[]): string {
  const words = {
    click: "click",
    "level-break": "break of the level",
    clipped: "clipped stretch",
    dropout: "dropout",
  } as const;
  return (["click", "level-break", "clipped", "dropout"] as const)
    .flatMap((kind) => {
      const count = marks.filter((mark) => mark.kind === kind).length;
      if (count === 0) return [];
      if (kind === "level-break") return [formatEvidence(summarizeBreaks(marks))];
      return [
        kind === "clipped" && count > 1
          ? `${count} clipped stretches`
          : formatCount(count, words[kind]),
      ];
    })
    .join(", ");
}
