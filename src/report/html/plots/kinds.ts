import { crosstalkFigure } from "./crosstalk.js";
import { distortionFigure } from "./distortion.js";
import type { Drawing, FigureKind } from "./figure.js";
import { marksFigure } from "./marks.js";
import { noiseFigure } from "./noise.js";
import { responseFigure } from "./response.js";
import { stepsFigure } from "./steps.js";
import { cornerYearsFigure, noiseYearsFigure } from "./years.js";

/** Every figure a path may have, in the order of the page. */
export const figureKinds: readonly FigureKind[] = [
  responseFigure,
  noiseFigure,
  distortionFigure,
  stepsFigure,
  crosstalkFigure,
  marksFigure,
  noiseYearsFigure,
  cornerYearsFigure,
];

/** The figures that a path can have; the path's own readings decide whether one is drawn. */
export function listFigureKinds(drawing: Drawing): readonly FigureKind[] {
  return figureKinds.filter(({ applies }) => applies === undefined || applies(drawing));
}
