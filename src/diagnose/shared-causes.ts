import type { SharedAspect } from "../rank/shared/types.js";

/** The cause that a shared part's aspect speaks of, by its id among all causes. */
const causeOfAspect: Readonly<Record<SharedAspect, string | undefined>> = {
  dead: "no-signal",
  polarity: "polarity-reversed",
  level: "gain-off",
  bass: "dried-coupling-capacitor",
  treble: "high-loss",
  noise: "noisy-device",
  "hum-odd": "ground-hum",
  "hum-even": "supply-ripple",
  // Bent curves and worn crossovers look alike from several strips at once.
  distortion: undefined,
  clipping: "early-clipping",
};

/** The cause that shows in an aspect of a shared part; undefined where several do. */
export function getSharedCause(aspect: SharedAspect): string | undefined {
  return causeOfAspect[aspect];
}
