import { scaleLinear } from "d3-scale";
import { line } from "d3-shape";
import type { YearPoint } from "../../../history/years.js";
import { getReadingId, getReadingName, type ReadingId } from "../../../measure/reading-kinds.js";
import { capitalize } from "../../../text/capitalize.js";
import { formatSigned } from "../../../text/format-signed.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildValueAxis, plotArea, type Tick } from "./axes.js";
import type { Drawing, FigureKind } from "./figure.js";
import { renderFrame, roundCoordinate } from "./frame.js";

/** Noise of the strip in every round: it rises with the age of the input stage. */
export const noiseYearsFigure = buildYearsFigure("noise-years", getReadingId("noise"), 3);

/** The lower corner in every round: it rises as capacitors dry out. */
export const cornerYearsFigure = buildYearsFigure("corner-years", getReadingId("lower-corner"), 4);

/**
 * A reading of a path in all rounds.
 *
 * @param least the smallest span that is drawn, in the unit of the reading
 */
function buildYearsFigure(id: string, reading: ReadingId, least: number): FigureKind {
  const name = getReadingName(reading);
  const pointsOf = ({ years = {} }: Drawing) => years[reading] ?? [];
  // Both sides share one scale.
  const otherOf = ({ otherYears = {} }: Drawing, unit: string) =>
    (otherYears[reading] ?? []).filter((point) => point.unit === unit);
  return {
    id,
    title: `${capitalize(name)} over the years`,
    applies: (drawing) => pointsOf(drawing).length > 0,
    draw(drawing) {
      const points = pointsOf(drawing);
      const others = otherOf(drawing, points[0].unit);
      const usual = points.filter(hasSiblings);
      const values = [
        ...[...points, ...others].map(({ value }) => value),
        ...usual.map(({ siblings }) => siblings),
      ];
      const x = buildYearAxis(points, others);
      const y = buildValueAxis(values, least, `${name}, ${points[0].unit}`);
      const along = <T extends YearPoint>(of: readonly T[], value: (point: T) => number) =>
        line<T>()
          .x(({ date }) => x.place(yearOf(date)))
          .y((point) => y.place(value(point)))
          .digits(1)(of) ?? "";
      const side = `${drawing.path.partner?.side} side`;
      const told = others.length === 0 ? "" : ` Its ${side}: ${formatEnds(others)}.`;
      const label = `${name} of ${drawing.path.path} in ${points.length} rounds: ${formatEnds(points)}.${told}`;
      const body = html`${renderFrame(drawing.pieces, x, y)}${
        usual.length > 1
          ? html`<path class="median" d="${along(usual, ({ siblings }) => siblings)}"/>`
          : ""
      }${
        others.length > 1
          ? html`<path class="other" d="${along(others, ({ value }) => value)}"/>`
          : ""
      }${others.map((point) => dot(point, x, y))}<path class="own" d="${along(points, ({ value }) => value)}"/>${points.map((point) => dot(point, x, y))}`;
      const caption = [
        `Each round is a dot${[...points, ...others].some(({ bound }) => bound !== undefined) ? ", hollow if it is only a bound" : ""}.`,
        others.length > 0 ? ` Dotted: its ${side}.` : "",
        usual.length > 1
          ? ` Grey: median of the siblings${others.length > 0 ? " of the first side" : ""}.`
          : "",
        points[0].unit === "dBFS"
          ? " In dBFS, a change of the interface's gain shifts the path and its siblings together."
          : "",
      ].join("");
      return { label, caption, plot: { label, body } };
    },
  };
}

function hasSiblings(point: YearPoint): point is YearPoint & { readonly siblings: number } {
  return point.siblings !== undefined;
}

/** A year with its fraction. */
function yearOf(date: string): number {
  const year = Number(date.slice(0, 4));
  const start = Date.UTC(year, 0);
  return year + (Date.parse(date.slice(0, 10)) - start) / (Date.UTC(year + 1, 0) - start);
}

/** Labels closer than this would touch, units of the drawing. */
const labelWidth = 40;

/** A horizontal time axis, with a label for every round that there is room for. */
function buildYearAxis(own: readonly YearPoint[], others: readonly YearPoint[]): Axis {
  const dates = new Set([...own, ...others].map(({ date }) => date));
  const points = [...dates].sort().map((date) => ({ date }));
  const years = points.map(({ date }) => yearOf(date));
  const [from, to] = [years[0], years[years.length - 1]];
  const beside = Math.max(0.02, (to - from) * 0.05);
  const domain = [from - beside, to + beside] as const;
  const scale = scaleLinear(domain, [plotArea.left, plotArea.right]);
  const isWithinYears = to - from < 2;
  let end = Number.NEGATIVE_INFINITY;
  const ticks = points.map(({ date }, k): Tick => {
    const at = scale(years[k]);
    const width = isWithinYears ? 1.5 * labelWidth : labelWidth;
    if (at - width / 2 < end) return { at };
    end = at + width / 2;
    return { at, label: date.slice(0, isWithinYears ? 10 : 4) };
  });
  return { place: scale, domain, ticks, title: "round of" };
}

function dot({ date, value, bound }: YearPoint, x: Axis, y: Axis): Markup {
  return html`<circle class="${bound === undefined ? "year" : "step"}" cx="${roundCoordinate(x.place(yearOf(date)))}" cy="${roundCoordinate(y.place(value))}" r="2.8"/>`;
}

/** The first and the last of several. */
function formatEnds(points: readonly YearPoint[]): string {
  return [points[0], points[points.length - 1]]
    .map((point) => `${formatValue(point)} in ${point.date.slice(0, 4)}`)
    .join(", ");
}

function formatValue({ value, unit, bound }: YearPoint): string {
  const side = bound === undefined ? "" : bound === "upper" ? "at most " : "at least ";
  return `${side}${formatSigned(value.toFixed(1))} ${unit}`;
}
