import { area as areaOf } from "d3-shape";
import type { Curve } from "../../../measure/types.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildFrequencyAxis, computeExtent, plotArea } from "./axes.js";
import { drawCurveFigure, listSeenPoints, type Trace } from "./curve-figure.js";
import type { CurveSpace } from "./curves.js";
import type { FigureKind } from "./figure.js";
import { roundCoordinate } from "./frame.js";
import { formatPoint, formatSiblings, formatWhyAbsent } from "./phrases.js";

const leastSpanDb = 20;
const orders = [2, 3, 4, 5] as const;

/** Harmonics and their sum against frequency; the region that the method cannot see is shaded. */
export const distortionFigure: FigureKind = {
  id: "distortion",
  title: "Distortion and harmonics",
  draw(drawing) {
    const { path, number, baseline, topHz } = drawing;
    const sum = path.curves.distortion;
    if (!sum) return { absent: formatWhyAbsent(drawing, "distortion", "sweep") };
    const before = baseline?.path.curves.distortion;
    const space = buildDistortionSpace(topHz);
    const line = (piece: string, name: string, look: string, curve: Curve | undefined): Trace[] =>
      curve === undefined
        ? []
        : [{ piece: `${piece}${number}-distortion`, name, look, curve, above: "floor" }];
    const single = orders.flatMap((order) =>
      line(`h${order}-`, `harmonic ${order}`, `h${order}`, path.curves[`harmonic${order}`]),
    );
    const own = line("p", path.path, "own", sum);
    const named = single.filter((one) => listSeenPoints(one).length > 1);
    const floor = sum.floor;
    const drowned = own.every((one) => listSeenPoints(one).length === 0);
    const label = drowned
      ? `Distortion of ${path.path}: nothing is above the noise.`
      : `Distortion of ${path.path}: ${formatPoint(sum, [50, 1000, 5000])}.`;
    const plot = drawCurveFigure(drawing, {
      space,
      family: "distortion",
      lines: [...line("b", baseline?.round ?? "", "before", before), ...named, ...own],
      alsoSeen: floor === undefined ? [] : computeExtent(floor),
      least: leastSpanDb,
      title: "dB relative to the fundamental",
      unit: "dB",
      label,
      beneath: (y) =>
        floor === undefined ? html`` : floorShade({ x: sum.x, y: floor }, space.x, y),
      above: (y) => html`${named.map((one) => orderLabel(one, space.x, y))}`,
    });
    const caption = [
      drowned ? "Nothing is above the noise." : "Line: all harmonics together.",
      named.length === 0 ? "" : " Numbered: single orders.",
      " Shaded: what noise hides.",
      before === undefined ? "" : ` Dashed: round ${baseline?.round}.`,
      formatSiblings(drawing, "distortion"),
    ];
    return { label, caption: caption.join(""), plot };
  },
};

/** The space in which all distortion of a round is drawn. */
export function buildDistortionSpace(topHz: number): CurveSpace {
  return {
    x: buildFrequencyAxis(topHz, "frequency of the fundamental, Hz"),
    steps: 10,
    shape: "line",
  };
}

function floorShade(
  floor: { readonly x: readonly number[]; readonly y: readonly number[] },
  x: Axis,
  y: Axis,
): Markup {
  const shade = areaOf<number>()
    .x((i) => x.place(floor.x[i]))
    .y0(plotArea.bottom)
    .y1((i) => y.place(floor.y[i]))
    .digits(1);
  return html`<path class="floor" d="${shade(floor.x.map((_, i) => i)) ?? ""}"/>`;
}

/** The order's number at the end of its line. */
function orderLabel(line: Trace, x: Axis, y: Axis): Markup {
  const [hz, value] = listSeenPoints(line).at(-1) ?? [0, 0];
  return html`<text class="note" x="${roundCoordinate(x.place(hz) + 3)}" y="${roundCoordinate(y.place(value) + 3)}">${line.look.slice(1)}</text>`;
}
