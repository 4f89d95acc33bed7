import type { Found } from "../capture/find.js";
import type { Heard } from "../capture/markers.js";
import { amplitudeDb } from "../dsp/decibels.js";

/** Nothing above this is silence, dBFS peak. */
const silenceDb = -75;
/** Returns are found down to about here. */
const lowDb = -55;
/** More of a capture than this at full scale is clipping. */
const clippedShare = 2e-4;

/**
 * Why a capture holds no return, in words: what was heard instead.
 *
 * @param found the search's result, without returns
 * @param sampleRate of the capture
 */
export function heardInstead(found: Found, sampleRate: number): string {
  if (found.strange > 0) return "markers of another version of the signal";
  const cut = found.cuts[0];
  if (cut) {
    const at = (cut.atSample / sampleRate).toFixed(1);
    return cut.missing === "end"
      ? `a return that starts at ${at} s and was cut off before its end`
      : `the end of a return at ${at} s whose start is missing`;
  }
  return describe(loudest(found.heard));
}

function loudest(heard: readonly Heard[]): Heard {
  return heard.reduce((a, b) => (b.peak > a.peak ? b : a));
}

function describe({ peak, atFullScale, frames }: Heard): string {
  if (peak === 0) return "digital silence";
  const peakDb = amplitudeDb(peak);
  const level = `${peakDb.toFixed(0).replace("-", "−")} dBFS`;
  if (atFullScale > clippedShare * frames) {
    const share = (100 * atFullScale) / frames;
    return `a clipped signal, ${share < 10 ? share.toFixed(1) : share.toFixed(0)} % of its samples at full scale`;
  }
  if (peakDb < silenceDb) return `silence, nothing above ${level}`;
  if (peakDb < lowDb) return `a level far too low, nothing above ${level}`;
  return `sound up to ${level}, but not the signal's markers`;
}
