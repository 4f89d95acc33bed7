import { scaleLinear } from "d3-scale";
import { line, symbol, symbolDiamond, symbolTriangle } from "d3-shape";
import { isBound } from "../../../measure/is-bound.js";
import type { Reading } from "../../../measure/types.js";
import type { Scatter } from "../../../rank/robust-stats.js";
import { html, type Markup } from "../markup.js";
import type { SvgDefs } from "../svg-defs.js";
import { computeExtent } from "./axes.js";
import { bandDeviations } from "./curves.js";
import { roundCoordinate } from "./frame.js";

/** A reading of each sibling along one line, with their median and band. */
export interface DotPlotData {
  /** Prefix of its pieces: letters, digits and dashes. */
  readonly piece: string;
  readonly values: readonly number[];
  readonly scatter: Scatter;
  /** The smallest span to show, so that small differences do not look alarming; none if absent. */
  readonly least?: number;
}

/** Size of the small dot plots in tables, in units of their drawing. */
const small = { width: 130, height: 14, margin: 5 } as const;

/** The positions of values along a dot plot of some width. */
export function createDotScale(
  { values, scatter, least = 0 }: DotPlotData,
  width: number,
  margin: number,
) {
  const reach = bandDeviations * scatter.scale;
  const [low, high] = computeExtent([...values, scatter.median - reach, scatter.median + reach]);
  // All the same: one dot in the middle.
  const beside = high > low || least > 0 ? Math.max(0, least - (high - low)) / 2 : 1;
  return scaleLinear([low - beside, high + beside], [margin, width - margin]);
}

/** A path's value among its siblings', small enough for a table. */
export function renderSmallDotPlot(pieces: SvgDefs, crowd: DotPlotData, reading: Reading): Markup {
  const place = createDotScale(crowd, small.width, small.margin);
  const siblings = pieces.use(crowd.piece, (id) => {
    const middle = small.height / 2;
    const { median, scale } = crowd.scatter;
    const [from, to] = [-1, 1].map((side) => place(median + side * bandDeviations * scale));
    return html`<g id="${id}"><path class="strip-band" d="M${roundCoordinate(from)} 1.5H${roundCoordinate(Math.max(to, from + 0.8))}V12.5H${roundCoordinate(from)}z"/><path class="strip-median" d="M${roundCoordinate(place(median))} 1V13"/><path class="strip-dots" d="${dotsData(
      crowd.values.map((value) => place(value)),
      middle,
    )}"/></g>`;
  });
  return html`<svg class="strip" viewBox="0 0 ${small.width} ${small.height}" aria-hidden="true">${siblings}<path class="strip-own" transform="translate(${roundCoordinate(place(reading.value))} 7)" d="${ownShape(reading)}"/></svg>`;
}

/** Dots of one style are one path of zero-length strokes with round ends. */
function dotsData(places: readonly number[], y: number): string {
  const dot = line<number>().digits(1);
  return [...new Set(places.map(roundCoordinate))]
    .map((x) => dot.x((at) => at).y(y)([x]) ?? "")
    .join("");
}

const diamond = symbol(symbolDiamond, 34).digits(1)() ?? "";
const triangle = symbol(symbolTriangle, 30).digits(1)() ?? "";

/** A diamond; a triangle for a figure that is a bound. */
function ownShape(reading: Reading): string {
  return isBound(reading) ? triangle : diamond;
}
