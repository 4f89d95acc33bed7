import type { RoundPath, RoundSignal } from "../../../history/types.js";
import type { PathYears } from "../../../history/years.js";
import type { FamilyStats } from "../../../rank/family-stats.js";
import { html, type Markup } from "../markup.js";
import type { SvgDefs } from "../svg-defs.js";
import { plotSize } from "./axes.js";

/** What a figure of one path is drawn from. */
export interface Drawing {
  readonly path: RoundPath;
  /** A number that names the path among its round's, for ids. */
  readonly number: number;
  /** What is usual among its siblings; absent for a family too small. */
  readonly usual?: FamilyStats;
  /** All measured paths of its family, itself among them. */
  readonly siblings: readonly RoundPath[];
  /** A number that names the family among its round's, for ids. */
  readonly familyNumber: number;
  /** The same path in an earlier round. */
  readonly baseline?: { readonly round: string; readonly path: RoundPath };
  /** Readings of the path in round after round; absent where there are no older ones. */
  readonly years?: PathYears;
  /** The same of its other side, where the bus was recorded in stereo. */
  readonly otherYears?: PathYears;
  readonly signal: RoundSignal;
  /** Highest frequency of any curve of the round, Hz. */
  readonly topHz: number;
  readonly pieces: SvgDefs;
}

/** A figure of one path, or why there is none. */
export type Figure = DrawnFigure | { readonly absent: string };

export interface DrawnFigure {
  /** What is to be seen, in words, for those who cannot see it. */
  readonly label: string;
  /** What the lines are. */
  readonly caption: string;
  readonly plot: Plot;
}

/** One kind of figure; all kinds are alike. */
export interface FigureKind {
  /** Also its name among files: letters and dashes. */
  readonly id: string;
  readonly title: string;
  /** Whether a path can have such a figure at all; every one where absent. */
  readonly applies?: (drawing: Drawing) => boolean;
  readonly draw: (drawing: Drawing) => Figure;
}

/** What a plot consists of, before it is an element of a page or a file. */
export interface Plot {
  readonly label: string;
  readonly body: Markup;
  /** How its curves are read under the pointer; absent if there are none. */
  readonly reading?: PointerReading;
}

/**
 * The element of a plot.
 *
 * @param file what it has around its body in a file of its own
 */
export function renderPlotElement({ label, body, reading }: Plot, file?: PlotFrame): Markup {
  const data =
    reading === undefined
      ? ""
      : html` data-from="${reading.x[0]}" data-to="${reading.x[1]}" data-steps="${reading.steps}" data-unit="${reading.unit}"`;
  return html`<svg${file === undefined ? "" : html` xmlns="http://www.w3.org/2000/svg"`} class="plot" viewBox="0 0 ${plotSize.width} ${plotSize.height}" role="img" aria-label="${label}"${data}>${file?.before ?? ""}${body}</svg>`;
}

/** What stands before the body of a plot that is a file. */
export interface PlotFrame {
  readonly before: Markup;
}

/** From a place in a drawn curve back to frequency and value. */
export interface PointerReading {
  /** Frequencies at the left and right edge. */
  readonly x: readonly [number, number];
  readonly steps: number;
  readonly unit: string;
}
