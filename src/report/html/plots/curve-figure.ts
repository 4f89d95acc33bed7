import { isBoundAt } from "../../../measure/curve-bounds.js";
import type { Curve } from "../../../measure/types.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildValueAxis } from "./axes.js";
import {
  buildPoints,
  type CurveSpace,
  formatBandData,
  formatCurveData,
  formatCurveTransform,
  listBandValues,
  type PlotPoint,
  renderCurvePiece,
} from "./curves.js";
import type { Drawing, Plot } from "./figure.js";
import { renderFrame } from "./frame.js";

/** One line of a figure. */
export interface Trace {
  /** Unique among the pieces of a round: letters, digits and dashes. */
  readonly piece: string;
  /** Its name at the pointer. */
  readonly name: string;
  /** Its class in the style sheet. */
  readonly look: string;
  readonly curve: Curve;
  /** Leaves out the points at the floor, where the method sees nothing. */
  readonly above?: "floor";
}

export interface CurveFigure {
  readonly space: CurveSpace;
  /** Id of the curve whose band of siblings is drawn behind; absent for none. */
  readonly family?: string;
  readonly lines: readonly Trace[];
  /** Values that must be visible too. */
  readonly alsoSeen?: readonly number[];
  readonly least: number;
  readonly title: string;
  readonly unit: string;
  readonly label: string;
  /** Drawn under the lines, and on top of them. */
  readonly beneath?: (y: Axis) => Markup;
  readonly above?: (y: Axis) => Markup;
}

/** A plot of curves over their family's band. */
export function drawCurveFigure(drawing: Drawing, figure: CurveFigure): Plot {
  const { pieces, usual } = drawing;
  const { space, lines, family, alsoSeen = [] } = figure;
  const crowd = family === undefined ? undefined : usual?.curves[family];
  const values = lines.flatMap((line) => listSeenPoints(line).map(([, value]) => value));
  const y = buildValueAxis(
    [...values, ...(crowd === undefined ? [] : listBandValues(crowd)), ...alsoSeen],
    figure.least,
    figure.title,
  );
  const placed = formatCurveTransform(y, space);
  const body = html`${renderFrame(pieces, space.x, y)}${figure.beneath?.(y)}${
    family === undefined ? "" : renderFamilyCurve(drawing, family, space, placed)
  }${lines.map((line) =>
    renderCurvePiece(
      pieces,
      line.piece,
      () => lineData(line, space),
      html`class="${line.look}" data-name="${line.name}" ${placed}`,
    ),
  )}${figure.above?.(y)}`;
  const reading = { x: space.x.domain, steps: space.steps, unit: figure.unit };
  return { label: figure.label, body, reading };
}

function isSeen({ curve, above }: Trace, index: number): boolean {
  return above === undefined || !isBoundAt(curve, index);
}

/** The points of a line that are drawn. */
export function listSeenPoints(line: Trace): readonly PlotPoint[] {
  return buildPoints(line.curve.x, line.curve.y).filter((_, i) => isSeen(line, i));
}

function lineData(line: Trace, space: CurveSpace): string {
  const { x, y } = line.curve;
  return formatCurveData(buildPoints(x, y), space, (_, i) => isSeen(line, i));
}

/** Band and median of a family, drawn once for all its paths. */
export function renderFamilyCurve(
  { usual, familyNumber, pieces }: Pick<Drawing, "usual" | "familyNumber" | "pieces">,
  curve: string,
  space: CurveSpace,
  placed: Markup,
): Markup | undefined {
  const crowd = usual?.curves[curve];
  if (crowd === undefined) return undefined;
  const median = crowd.x.flatMap((at, i) => {
    const point = crowd.points[i];
    return point === undefined ? [] : [[at, point.median] as const];
  });
  return html`${renderCurvePiece(
    pieces,
    `f${familyNumber}-${curve}-band`,
    () => formatBandData(crowd, space),
    html`class="band" ${placed}`,
  )}${renderCurvePiece(
    pieces,
    `f${familyNumber}-${curve}-median`,
    () => formatCurveData(median, space),
    html`class="median" data-name="siblings" ${placed}`,
  )}`;
}
