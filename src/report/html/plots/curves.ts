import { area as areaOf, curveStep, line } from "d3-shape";
import type { FamilyCurve } from "../../../rank/family-stats.js";
import { html, type Markup } from "../markup.js";
import type { SvgDefs } from "../svg-defs.js";
import { type Axis, plotArea } from "./axes.js";

/**
 * Curves are drawn in a separate space that does not depend on a plot's vertical scale: tenths of a
 * unit across, and a whole number for each step of the value upwards. One drawn curve thus serves
 * plots of any scale, and stays small.
 */
export interface CurveSpace {
  readonly x: Axis;
  /** Steps for one unit of the value: 100 for hundredths of a decibel. */
  readonly steps: number;
  /** Bands with one level each are drawn as steps, everything else as a line. */
  readonly shape: "line" | "steps";
}

export type PlotPoint = readonly [x: number, y: number];

/** A curve's points, without those that have no value. */
export function buildPoints(x: readonly number[], y: readonly number[]): readonly PlotPoint[] {
  return x.map((at, i): PlotPoint => [at, y[i]]);
}

/** The data of a path through points; a hidden point breaks the line. */
export function formatCurveData(
  points: readonly PlotPoint[],
  { x, steps, shape }: CurveSpace,
  seen: (point: PlotPoint, index: number) => boolean = () => true,
): string {
  const drawn = line<PlotPoint>()
    .x(([at]) => Math.round((x.place(at) - plotArea.left) * 10))
    .y(([, value]) => Math.round(-value * steps))
    .defined(seen)
    .digits(0);
  if (shape === "steps") drawn.curve(curveStep);
  return drawn(points) ?? "";
}

/** Half width of the siblings' band, in their robust standard deviations. */
export const bandDeviations = 2;

/** The band of a family: median plus and minus {@link bandDeviations} robust deviations. */
export function formatBandData(usual: FamilyCurve, space: CurveSpace): string {
  const rows = usual.x.map((at, i) => ({ at, crowd: usual.points[i] }));
  const edge = (side: 1 | -1) => (row: (typeof rows)[number]) =>
    Math.round(
      -((row.crowd?.median ?? 0) + side * bandDeviations * (row.crowd?.scale ?? 0)) * space.steps,
    );
  const drawn = areaOf<(typeof rows)[number]>()
    .x(({ at }) => Math.round((space.x.place(at) - plotArea.left) * 10))
    .y0(edge(-1))
    .y1(edge(1))
    .defined(({ crowd }) => crowd !== undefined)
    .digits(0);
  if (space.shape === "steps") drawn.curve(curveStep);
  return drawn(rows) ?? "";
}

/** Values at the edges of a family's band. */
export function listBandValues({ points }: FamilyCurve): readonly number[] {
  return points.flatMap((crowd) =>
    crowd === undefined
      ? []
      : [crowd.median - bandDeviations * crowd.scale, crowd.median + bandDeviations * crowd.scale],
  );
}

/** Transforms a curve's space to a plot's scale. */
export function formatCurveTransform(y: Axis, { steps }: CurveSpace): Markup {
  const zero = y.place(0);
  const perUnit = zero - y.place(1);
  return html`transform="translate(${plotArea.left} ${round(zero, 2)})scale(.1 ${round(perUnit / steps, 6)})"`;
}

function round(value: number, digits: number): number {
  return Number(value.toFixed(digits));
}

/** A path in a curve's space; strokes keep their width at any scale. */
export function renderCurvePiece(
  pieces: SvgDefs,
  id: string,
  data: () => string,
  attributes: Markup,
): Markup {
  return pieces.use(id, (own) => html`<path id="${own}" class="c" d="${data()}"/>`, attributes);
}
