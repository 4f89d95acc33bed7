import { gapS, markerS } from "./constants.js";
import type { ControlsTiming } from "./control-window.js";
import { round } from "./table-builder.js";

/**
 * Seconds between the markers of a controls pass without windows, and how much each window adds.
 *
 * @example
 * const timing = findSignalProfile("controls", 2)?.controls;
 * timing && computeControlsSpan(timing).perWindowS; // 16.5
 */
export function computeControlsSpan({ unmoved, window }: ControlsTiming): {
  readonly emptyS: number;
  readonly perWindowS: number;
} {
  const { countInS, toneS, silenceS, endS, backS } = window;
  return {
    emptyS: round(markerS + unmoved.silenceS + unmoved.toneS + gapS),
    perWindowS: round(countInS + toneS + gapS + silenceS + endS + backS),
  };
}
