import { scaleLinear, scaleLog } from "d3-scale";
import type { StoredAbsences } from "../history/absences.js";
import type { Curve } from "../measure/types.js";
import type { FamilyCurve, FamilyStats } from "../rank/family-stats.js";
import { formatCount } from "../text/format-count.js";
import { formatStoredAbsence } from "./absences/format-absence.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** What a terminal can show: braille dots, or the characters that every terminal has. */
export type Letters = "unicode" | "ascii";

/** The data for the plot. */
export interface PlottedPath extends StoredAbsences {
  readonly path: string;
  readonly curves: Readonly<Record<string, Curve>>;
}

const rows = 12;
/** Left margin: a number, a space, the axis. */
const margin = 8;
/** Dots of one braille character (Unicode, block 2800), by column and row; 1 to 8 as bits. */
const dotBits = [
  [0x01, 0x02, 0x04, 0x40],
  [0x08, 0x10, 0x20, 0x80],
] as const;
/** Smallest span from bottom to top, so that small differences do not look large, decibels. */
const leastSpanDb = 3;

/** A path's response and its siblings' median, as lines of text within the style's width. */
export function renderTerminalPlot(
  plotted: PlottedPath,
  usual: FamilyStats | undefined,
  style: ReportStyle,
  letters: Letters,
): string {
  const { path, curves } = plotted;
  const curve = curves.response;
  const head = "RESPONSE, dB relative to 1 kHz, over hertz";
  const width = Math.max(60, Math.min(style.width, 80));
  if (!curve || curve.x.length < 2) {
    return `${head}\nnone: ${formatStoredAbsence(plotted, "response") ?? "the signal has no sweep"}`;
  }
  const crowd = usual?.curves.response;
  const columns = width - margin - 1;
  const [low, high] = range([...curve.y, ...medians(crowd).map(([, value]) => value)]);
  const top = curve.x[curve.x.length - 1];
  const fine = letters === "unicode" ? { across: 2, up: 4 } : { across: 1, up: 1 };
  const across = scaleLog([curve.x[0], top], [0, columns * fine.across - 1]).clamp(true);
  const up = scaleLinear([low, high], [rows * fine.up - 1, 0]).nice(4);
  const place = ([hz, value]: Point): Point => [across(hz), up(value)];
  const own = traced(
    curve.x.map((hz, i): Point => [hz, curve.y[i]]).map(place),
    columns * fine.across,
  );
  const others = traced(medians(crowd).map(place), columns * fine.across);
  const cell = (row: number, column: number): Cell => {
    const mine = dotsIn(own, row, column, fine);
    if (mine.length > 0) return { text: letters === "unicode" ? braille(mine) : "*", look: "own" };
    const theirs = dotsIn(others, row, column, fine).length > 0;
    return theirs ? { text: letters === "unicode" ? "·" : ".", look: "others" } : blank;
  };
  const labels = axisLabels(up, fine.up);
  const bar = letters === "unicode" ? "│" : "|";
  const lines = Array.from({ length: rows }, (_, row) => {
    const cells = Array.from({ length: columns }, (_, column) => cell(row, column));
    return `${(labels.get(row) ?? "").padStart(margin - 2)} ${bar}${painted(cells, style)}`.trimEnd();
  });
  const key = letters === "unicode" ? `line: ${path}` : `*: ${path}`;
  const dotted =
    crowd === undefined
      ? ""
      : `; dotted: median of ${formatCount(usual?.count ?? 0, "sibling")}, where it differs`;
  return [
    head,
    ...lines,
    frequencyLine((hz) => across(hz) / fine.across, top, columns),
    ...wrapText(`${key}${dotted}`, width, "  ".padStart(margin)),
  ].join("\n");
}

type Point = readonly [x: number, y: number];

interface Cell {
  readonly text: string;
  readonly look: "own" | "others" | "blank";
}

const blank: Cell = { text: " ", look: "blank" };

function medians(crowd: FamilyCurve | undefined): readonly Point[] {
  if (crowd === undefined) return [];
  return crowd.x.flatMap((hz, i) => {
    const point = crowd.points[i];
    return point === undefined ? [] : [[hz, point.median] as const];
  });
}

function range(values: readonly number[]): Point {
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const missing = Math.max(0, leastSpanDb - (high - low)) / 2;
  return [low - missing, high + missing];
}

/** The dots of a line: in each column, from where it enters to where it leaves. */
function traced(points: readonly Point[], columns: number): ReadonlyMap<number, Point> {
  const spans = new Map<number, Point>();
  for (let column = 0; column < columns; column++) {
    const ys = [column - 0.5, column, column + 0.5].flatMap((x) => heightAt(points, x) ?? []);
    if (ys.length === 0) continue;
    spans.set(column, [Math.round(Math.min(...ys)), Math.round(Math.max(...ys))]);
  }
  return spans;
}

function heightAt(points: readonly Point[], x: number): number | undefined {
  const next = points.findIndex(([at]) => at >= x);
  if (next < 0) return undefined;
  if (next === 0) return points[0][0] - x < 1 ? points[0][1] : undefined;
  const [[x0, y0], [x1, y1]] = [points[next - 1], points[next]];
  return x1 === x0 ? y1 : y0 + ((y1 - y0) * (x - x0)) / (x1 - x0);
}

/** Which dots of a character's cell a line covers. */
function dotsIn(
  spans: ReadonlyMap<number, Point>,
  row: number,
  column: number,
  fine: { readonly across: number; readonly up: number },
): readonly Point[] {
  const dots: Point[] = [];
  for (let x = 0; x < fine.across; x++) {
    const span = spans.get(column * fine.across + x);
    if (span === undefined) continue;
    for (let y = 0; y < fine.up; y++) {
      const at = row * fine.up + y;
      if (at >= span[0] && at <= span[1]) dots.push([x, y]);
    }
  }
  return dots;
}

function braille(dots: readonly Point[]): string {
  const bits = dots.reduce((sum, [x, y]) => sum | (dotBits[x]?.[y] ?? 0), 0);
  return String.fromCodePoint(0x2800 + bits);
}

/** Colours runs of one style; colour says nothing that the characters do not. */
function painted(cells: readonly Cell[], style: ReportStyle): string {
  const { strong, quiet } = createPalette(style);
  const runs: { look: Cell["look"]; text: string }[] = [];
  for (const { look, text } of cells) {
    const last = runs.at(-1);
    if (last?.look === look) last.text += text;
    else runs.push({ look, text });
  }
  while (runs.at(-1)?.look === "blank") runs.pop();
  return runs
    .map(({ look, text }) =>
      look === "own" ? strong(text) : look === "others" ? quiet(text) : text,
    )
    .join("");
}

interface Scale {
  (value: number): number;
  ticks(count: number): number[];
  tickFormat(count: number): (value: number) => string;
}

function axisLabels(up: Scale, fine: number): ReadonlyMap<number, string> {
  const text = up.tickFormat(5);
  return new Map(
    up.ticks(5).map((value) => [Math.round((up(value) - (fine - 1) / 2) / fine), text(value)]),
  );
}

const toldHz = [20, 50, 100, 200, 500, 1000, 2000, 5000, 10_000, 20_000, 40_000];

/** Frequencies under their positions, as far as there is room. */
function frequencyLine(place: (hz: number) => number, top: number, columns: number): string {
  let line = "";
  for (const hz of toldHz.filter((one) => one <= top * 1.01)) {
    const text = hz < 1000 ? String(hz) : `${hz / 1000}k`;
    const wanted = margin + Math.round(place(hz)) - Math.floor(text.length / 2);
    const at = Math.min(wanted, margin + columns - text.length);
    if (at > line.length || line === "") line = line.padEnd(at) + text;
  }
  return line;
}
