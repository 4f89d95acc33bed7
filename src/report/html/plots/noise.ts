import { isBoundAt } from "../../../measure/curve-bounds.js";
import type { Curve } from "../../../measure/types.js";
import { formatHertz } from "../../../text/format-hertz.js";
import { formatSigned } from "../../../text/format-signed.js";
import { html, type Markup } from "../markup.js";
import { type Axis, buildFrequencyAxis, computeExtent, plotArea } from "./axes.js";
import { drawCurveFigure, type Trace } from "./curve-figure.js";
import type { CurveSpace } from "./curves.js";
import type { Drawing, FigureKind } from "./figure.js";
import { roundCoordinate } from "./frame.js";
import { formatPoint, formatSiblings, formatWhyAbsent } from "./phrases.js";

const leastSpanDb = 20;
/** The third octaves end here, Hz. */
const topHz = 20_000;
/** A mains line this far above its floor is a reading; the others are bounds, decibels. */
const clearDb = 7;

/** Noise in third octaves over the siblings', and the mains lines separately. */
export const noiseFigure: FigureKind = {
  id: "noise",
  title: "Noise in third octaves, and mains lines",
  draw(drawing) {
    const { path, number, baseline } = drawing;
    const curve = path.curves.noise;
    if (!curve) return { absent: formatWhyAbsent(drawing, "noise", "silence") };
    const lines = heardLines(path.curves.humLines);
    const earlier = baseline?.path.curves.noise;
    const before = earlier?.yUnit === curve.yUnit ? earlier : undefined;
    const space = buildNoiseSpace();
    const line = (piece: string, name: string, look: string, of: Curve | undefined): Trace[] =>
      of === undefined ? [] : [{ piece: `${piece}${number}-noise`, name, look, curve: of }];
    const label = `Noise of ${path.path}: ${formatPoint(curve, [100, 1000, 10_000])}; ${lineWords(lines)}.`;
    const plot = drawCurveFigure(drawing, {
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
      lines.length === 0 ? " No mains line is above it." : " Stems: mains lines.",
      before === undefined ? "" : ` Dashed: round ${baseline?.round}.`,
      earlier === undefined || before !== undefined ? "" : otherUnit(drawing, earlier),
      formatSiblings(drawing, "noise"),
    ];
    return { label, caption: caption.join(""), plot };
  },
};

/** The space in which all noise spectra of a round are drawn. */
export function buildNoiseSpace(): CurveSpace {
  return { x: buildFrequencyAxis(topHz), steps: 10, shape: "steps" };
}

interface MainsLine {
  readonly hz: number;
  readonly level: number;
}

function heardLines(curve: Curve | undefined): readonly MainsLine[] {
  if (curve === undefined) return [];
  return curve.x.flatMap((hz, i) => {
    const clear = !isBoundAt(curve, i) && curve.y[i] > (curve.floor?.[i] ?? -1000) + clearDb;
    return clear ? [{ hz, level: curve.y[i] }] : [];
  });
}

const mostLabels = 3;

/** Stems from the bottom to each line's level; the loudest are labelled with their frequency. */
function stems(lines: readonly MainsLine[], x: Axis, y: Axis): Markup {
  const loudest = [...lines].sort((a, b) => b.level - a.level).slice(0, mostLabels);
  return html`${lines.map((one) => {
    const [at, top] = [roundCoordinate(x.place(one.hz)), roundCoordinate(y.place(one.level))];
    const label = loudest.includes(one)
      ? html`<text class="note" x="${at + 4}" y="${roundCoordinate(top - 3)}">${one.hz}</text>`
      : "";
    return html`<path class="stem" d="M${at} ${plotArea.bottom}V${top}"/><circle class="head" cx="${at}" cy="${top}" r="2.2"/>${label}`;
  })}`;
}

function lineWords(lines: readonly MainsLine[]): string {
  if (lines.length === 0) return "no mains line is above the noise";
  const [, top] = computeExtent(lines.map(({ level }) => level));
  const loudest = lines.find(({ level }) => level === top) ?? lines[0];
  return `the strongest mains line is ${formatSigned(loudest.level.toFixed(0))} dBFS at ${formatHertz(loudest.hz)}`;
}

function otherUnit({ baseline }: Drawing, { yUnit }: Curve): string {
  return ` Round ${baseline?.round} is in ${yUnit} and not shown.`;
}
