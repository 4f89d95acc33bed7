import type { Curve } from "../../../measure/types.js";
import { html, type Markup } from "../markup.js";
import { buildFrequencyAxis, plotArea } from "./axes.js";
import { drawCurveFigure, type Trace } from "./curve-figure.js";
import type { CurveSpace } from "./curves.js";
import type { FigureKind } from "./figure.js";
import { roundCoordinate } from "./frame.js";
import { formatPoint, formatSiblings, formatWhyAbsent } from "./phrases.js";

/** Smallest span from bottom to top, so that small differences do not look large, decibels. */
const leastSpanDb = 3;

/** The response of a path over its family's band. */
export const responseFigure: FigureKind = {
  id: "response",
  title: "Response relative to 1 kHz",
  draw(drawing) {
    const { path, number, baseline, topHz } = drawing;
    const curve = path.curves.response;
    if (!curve) return { absent: formatWhyAbsent(drawing, "response", "sweep") };
    const before = baseline?.path.curves.response;
    const other = path.partner?.curves.response;
    const space = buildResponseSpace(topHz);
    const line = (piece: string, name: string, look: string, of: Curve | undefined): Trace[] =>
      of === undefined ? [] : [{ piece: `${piece}${number}-response`, name, look, curve: of }];
    const found = path.findings.flatMap(({ reading, atHz, value }) =>
      reading === "response" && atHz !== undefined ? [{ atHz, value }] : [],
    );
    const label = `Response of ${path.path}: ${formatPoint(curve, [20, 100, 10_000, 20_000])}.`;
    const plot = drawCurveFigure(drawing, {
      space,
      family: "response",
      lines: [
        ...line("b", baseline?.round ?? "", "before", before),
        ...line("o", `${path.partner?.side} side`, "other", other),
        ...line("p", path.path, "own", curve),
      ],
      least: leastSpanDb,
      title: "dB",
      unit: "dB",
      label,
      above: (y) =>
        html`${found.map(({ atHz, value }) => caret(space.x.place(atHz), y.place(value)))}`,
    });
    const caption = [
      `Line: ${path.path}.`,
      other === undefined ? "" : ` Dotted: its ${path.partner?.side} side.`,
      before === undefined ? "" : ` Dashed: round ${baseline?.round}.`,
      formatSiblings(drawing, "response"),
      found.length === 0 ? "" : " ▼: where it stands out.",
    ];
    return { label, caption: caption.join(""), plot };
  },
};

/** The space in which all responses of a round are drawn. */
export function buildResponseSpace(topHz: number): CurveSpace {
  return { x: buildFrequencyAxis(topHz), steps: 100, shape: "line" };
}

/** A mark that points down at a position on a curve. */
function caret(x: number, y: number): Markup {
  const top = Math.max(plotArea.top - 4, y - 11);
  return html`<path class="caret" d="M${roundCoordinate(x - 4.5)} ${roundCoordinate(top)}h9l-4.5 7z"/>`;
}
