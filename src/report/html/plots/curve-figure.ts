import type { Curve } from "../../../measure/types.js";
import { html, type Markup } from "../markup.js";
import { type Axis, valueAxis } from "./axes.js";
import {
  bandData,
  bandValues,
  type CurveSpace,
  curveData,
  curvePiece,
  into,
  type Point,
  pointsOf,
} from "./curves.js";
import { type Drawing, plotElement } from "./figure.js";
import { frame } from "./frame.js";

/** One line of a figure. */
export interface Line {
  /** Its own among the pieces of a round: letters, digits and dashes. */
  readonly piece: string;
  /** What the pointer calls it. */
  readonly name: string;
  /** Its class in the style sheet. */
  readonly look: string;
  readonly curve: Curve;
  /** Leaves out the points that lie at the floor: there the method sees nothing. */
  readonly above?: "floor";
}

export interface CurveFigure {
  readonly space: CurveSpace;
  /** Id of the curve whose band of siblings lies behind; absent for none. */
  readonly family?: string;
  readonly lines: readonly Line[];
  /** Values that must be in sight too. */
  readonly alsoSeen?: readonly number[];
  readonly least: number;
  readonly title: string;
  readonly unit: string;
  readonly label: string;
  /** What is drawn beneath the lines, and on top of them. */
  readonly beneath?: (y: Axis) => Markup;
  readonly above?: (y: Axis) => Markup;
}

/** A plot of curves over their family's band. */
export function curveFigure(drawing: Drawing, figure: CurveFigure): Markup {
  const { pieces, usual } = drawing;
  const { space, lines, family, alsoSeen = [] } = figure;
  const crowd = family === undefined ? undefined : usual?.curves[family];
  const values = lines.flatMap((line) => seenPoints(line).map(([, value]) => value));
  const y = valueAxis(
    [...values, ...(crowd === undefined ? [] : bandValues(crowd)), ...alsoSeen],
    figure.least,
    figure.title,
  );
  const placed = into(y, space);
  const body = html`${frame(pieces, space.x, y)}${figure.beneath?.(y)}${
    family === undefined ? "" : familyCurve(drawing, family, space, placed)
  }${lines.map((line) =>
    curvePiece(
      pieces,
      line.piece,
      () => lineData(line, space),
      html`class="${line.look}" data-name="${line.name}" ${placed}`,
    ),
  )}${figure.above?.(y)}`;
  return plotElement(figure.label, body, {
    x: space.x.domain,
    steps: space.steps,
    unit: figure.unit,
  });
}

/** A point this near to its floor is a bound, decibels. */
const floorRoundingDb = 0.011;

function isSeen({ curve, above }: Line, index: number): boolean {
  if (above === undefined || curve.floor === undefined) return true;
  return curve.y[index] > curve.floor[index] + floorRoundingDb;
}

/** The points of a line that are drawn. */
export function seenPoints(line: Line): readonly Point[] {
  return pointsOf(line.curve.x, line.curve.y).filter((_, i) => isSeen(line, i));
}

function lineData(line: Line, space: CurveSpace): string {
  const { x, y } = line.curve;
  return curveData(pointsOf(x, y), space, (_, i) => isSeen(line, i));
}

/** Band and median of a family, drawn once for all its paths. */
export function familyCurve(
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
  return html`${curvePiece(
    pieces,
    `f${familyNumber}-${curve}-band`,
    () => bandData(crowd, space),
    html`class="band" ${placed}`,
  )}${curvePiece(
    pieces,
    `f${familyNumber}-${curve}-median`,
    () => curveData(median, space),
    html`class="median" data-name="siblings" ${placed}`,
  )}`;
}
