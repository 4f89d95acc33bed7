/** From a return to readings and curves, each with its uncertainty or the reason it is absent. */
export { interpolateCurve } from "./calibration/interpolate-curve.js";
export { measureReturn } from "./measure.js";
export type { ReadingKind } from "./reading-kind.js";
export { findReadingKind, type ReadingId, readingKinds } from "./reading-kinds.js";
export type { ReturnAudio } from "./return-audio.js";
export type { Curve, Curves, Measurement, Reading, Readings } from "./types.js";
