import type { RoundPath, RoundSignal } from "../../../history/types.js";
import type { PathYears } from "../../../history/years.js";
import type { FamilyStats } from "../../../rank/family-stats.js";
import { html, type Markup } from "../markup.js";
import type { SvgDefs } from "../svg-defs.js";
import { plotSize } from "./axes.js";

/** The data for a figure of one path. */
export interface Drawing {
  readonly path: RoundPath;
  /** The number of the path within its round, for ids. */
  readonly number: number;
  /** Statistics of its siblings; absent if the family is too small. */
  readonly usual?: FamilyStats;
  /** All measured paths of its family, itself among them. */
  readonly siblings: readonly RoundPath[];
  /** The number of the family within its round, for ids. */
  readonly familyNumber: number;
  /** The same path in an earlier round. */
  readonly baseline?: { readonly round: string; readonly path: RoundPath };
  /** Readings of the path in all rounds; absent if there are no older ones. */
  readonly years?: PathYears;
  /** The same for its other side, if the bus was recorded in stereo. */
  readonly otherYears?: PathYears;
  readonly signal: RoundSignal;
  /** Highest frequency of any curve of the round, Hz. */
  readonly topHz: number;
  readonly pieces: SvgDefs;
}

/** A figure of one path, or why there is none. */
export type Figure = DrawnFigure | { readonly absent: string };

export interface DrawnFigure {
  /** A description in words, for readers who cannot see the plot. */
  readonly label: string;
  /** What the lines are. */
  readonly caption: string;
  readonly plot: Plot;
}

/** One kind of figure. */
export interface FigureKind {
  /** Also used in file names: letters and dashes. */
  readonly id: string;
  readonly title: string;
  /** Whether a path can have such a figure at all; if absent, every path can. */
  readonly applies?: (drawing: Drawing) => boolean;
  readonly draw: (drawing: Drawing) => Figure;
}

/** The contents of a plot, before it becomes an element of a page or a file. */
export interface Plot {
  readonly label: string;
  readonly body: Markup;
  /** How to read its curves under the pointer; absent if there are none. */
  readonly reading?: PointerReading;
}

/**
 * The element of a plot.
 *
 * @param file what goes around its body if it is a separate file
 */
export function renderPlotElement({ label, body, reading }: Plot, file?: PlotFrame): Markup {
  const data =
    reading === undefined
      ? ""
      : html` data-from="${reading.x[0]}" data-to="${reading.x[1]}" data-steps="${reading.steps}" data-unit="${reading.unit}"`;
  return html`<svg${file === undefined ? "" : html` xmlns="http://www.w3.org/2000/svg"`} class="plot" viewBox="0 0 ${plotSize.width} ${plotSize.height}" role="img" aria-label="${label}"${data}>${file?.before ?? ""}${body}</svg>`;
}

/** What comes before the body of a plot that is a file. */
export interface PlotFrame {
  readonly before: Markup;
}

/** Converts a position on a drawn curve back to frequency and value. */
export interface PointerReading {
  /** Frequencies at the left and right edge. */
  readonly x: readonly [number, number];
  readonly steps: number;
  readonly unit: string;
}
