import type { ReadingKind } from "./kind.js";
import { cornerHigh, cornerLow } from "./readings/corners.js";
import { compression, harmonics, thd, thd100, thdHot, thdN } from "./readings/distortion.js";
import { ein } from "./readings/ein.js";
import { hum } from "./readings/hum.js";
import { gain, level } from "./readings/level.js";
import { noise, noiseA } from "./readings/noise.js";
import { polarity } from "./readings/polarity.js";

/** Every reading there is, in the order in which they are shown. */
export const readingKinds: readonly ReadingKind[] = [
  level,
  gain,
  polarity,
  cornerLow,
  cornerHigh,
  thd,
  thdN,
  thd100,
  thdHot,
  compression,
  noise,
  noiseA,
  ein,
  hum,
  ...harmonics,
];

/** The row of a reading; undefined for an unknown id. */
export function readingKind(id: string): ReadingKind | undefined {
  return readingKinds.find((kind) => kind.id === id);
}
