import type { Curve } from "../../../measure/types.js";
import { hertz } from "../../../rank/words.js";
import { signed } from "../../figures.js";
import { html, type Markup } from "../markup.js";
import { type Axis, area, extent, frequencyAxis } from "./axes.js";
import { curveFigure, type Line } from "./curve-figure.js";
import type { CurveSpace } from "./curves.js";
import type { Drawing, FigureKind } from "./figure.js";
import { fine } from "./frame.js";
import { pointWords, siblingWords, whyAbsent } from "./words.js";

const leastSpanDb = 20;
/** The third octaves reach no further, Hz. */
const topHz = 20_000;
/** A line this far above its floor is heard; others are bounds, decibels. */
const clearDb = 7;

/** Noise in third octaves over the siblings', and the lines of the mains by themselves. */
export const noiseFigure: FigureKind = {
  id: "noise",
  title: "Noise in third octaves, and mains lines",
  draw(drawing) {
    const { path, number, baseline } = drawing;
    const curve = path.curves.noise;
    if (!curve) return { absent: whyAbsent(drawing, "noise", "silence") };
    const lines = heardLines(path.curves.humLines);
    const earlier = baseline?.path.curves.noise;
    const before = earlier?.yUnit === curve.yUnit ? earlier : undefined;
    const space = noiseSpace();
    const line = (piece: string, name: string, look: string, of: Curve | undefined): Line[] =>
      of === undefined ? [] : [{ piece: `${piece}${number}-noise`, name, look, curve: of }];
    const label = `Noise of ${path.path}: ${pointWords(curve, [100, 1000, 10_000])}; ${lineWords(lines)}.`;
    const svg = curveFigure(drawing, {
      space,
      family: "noise",
      lines: [
        ...line("b", baseline?.round ?? "", "before", before),
        ...line("p", path.path, "own", curve),
      ],
      alsoSeen: lines.map(({ level }) => level),
      least: leastSpanDb,
      title: curve.yUnit,
      unit: curve.yUnit,
      label,
      above: (y) => stems(lines, space.x, y),
    });
    const caption = [
      `Steps: noise of ${path.path} without the mains.`,
      lines.length === 0 ? " No mains line is clear of it." : " Stems: lines of the mains.",
      before === undefined ? "" : ` Dashed: round ${baseline?.round}.`,
      earlier === undefined || before !== undefined ? "" : otherUnit(drawing, earlier),
      siblingWords(drawing, "noise"),
    ];
    return { label, caption: caption.join(""), svg };
  },
};

/** The space in which all noise spectra of a round are drawn. */
export function noiseSpace(): CurveSpace {
  return { x: frequencyAxis(topHz), steps: 10, shape: "steps" };
}

interface MainsLine {
  readonly hz: number;
  readonly level: number;
}

function heardLines(curve: Curve | undefined): readonly MainsLine[] {
  if (curve === undefined) return [];
  return curve.x.flatMap((hz, i) => {
    const clear = curve.uncertainty[i] < 6 && curve.y[i] > (curve.floor?.[i] ?? -1000) + clearDb;
    return clear ? [{ hz, level: curve.y[i] }] : [];
  });
}

const mostLabels = 3;

/** Stems from the bottom to each line's level; the loudest carry their frequency. */
function stems(lines: readonly MainsLine[], x: Axis, y: Axis): Markup {
  const loudest = [...lines].sort((a, b) => b.level - a.level).slice(0, mostLabels);
  return html`${lines.map((one) => {
    const [at, top] = [fine(x.place(one.hz)), fine(y.place(one.level))];
    const label = loudest.includes(one)
      ? html`<text class="note" x="${at + 4}" y="${fine(top - 3)}">${one.hz}</text>`
      : "";
    return html`<path class="stem" d="M${at} ${area.bottom}V${top}"/><circle class="head" cx="${at}" cy="${top}" r="2.2"/>${label}`;
  })}`;
}

function lineWords(lines: readonly MainsLine[]): string {
  if (lines.length === 0) return "no mains line is clear of the noise";
  const [, top] = extent(lines.map(({ level }) => level));
  const loudest = lines.find(({ level }) => level === top) ?? lines[0];
  return `the strongest mains line is ${signed(loudest.level.toFixed(0))} dBFS at ${hertz(loudest.hz)}`;
}

function otherUnit({ baseline }: Drawing, { yUnit }: Curve): string {
  return ` Round ${baseline?.round} is in ${yUnit} and not shown.`;
}
