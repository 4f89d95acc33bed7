import { formatStoredAbsence } from "../../absences/format-absence.js";
import { buildFrequencyAxis } from "./axes.js";
import { drawCurveFigure } from "./curve-figure.js";
import type { FigureKind } from "./figure.js";
import { formatPoint, formatSiblings } from "./phrases.js";

const leastSpanDb = 20;

/** What reached the channels that were recorded too but not driven. */
export const crosstalkFigure: FigureKind = {
  id: "crosstalk",
  title: "Crosstalk",
  draw(drawing) {
    const { path, number, topHz } = drawing;
    const curve = path.curves.crosstalk;
    if (!curve) {
      return {
        absent: formatStoredAbsence(path, "crosstalk") ?? "no other channel was recorded",
      };
    }
    const label = `Crosstalk of ${path.path}: ${formatPoint(curve, [100, 1000, 10_000])}.`;
    const plot = drawCurveFigure(drawing, {
      space: { x: buildFrequencyAxis(topHz), steps: 10, shape: "line" },
      family: "crosstalk",
      lines: [{ piece: `p${number}-crosstalk`, name: path.path, look: "own", curve }],
      least: leastSpanDb,
      title: "dB",
      unit: "dB",
      label,
    });
    const caption = `Line: the worst of the undriven channels; where noise hides it, an upper bound.${formatSiblings(drawing, "crosstalk")}`;
    return { label, caption, plot };
  },
};
