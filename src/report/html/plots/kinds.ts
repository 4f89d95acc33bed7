import { crosstalkFigure } from "./crosstalk.js";
import { distortionFigure } from "./distortion.js";
import type { FigureKind } from "./figure.js";
import { marksFigure } from "./marks.js";
import { noiseFigure } from "./noise.js";
import { responseFigure } from "./response.js";
import { stepsFigure } from "./steps.js";

/** Every figure a path may have, in the order in which they stand. */
export const figureKinds: readonly FigureKind[] = [
  responseFigure,
  noiseFigure,
  distortionFigure,
  stepsFigure,
  crosstalkFigure,
  marksFigure,
];
