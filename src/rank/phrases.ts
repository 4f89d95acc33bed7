import type { ReadingKind } from "../measure/reading-kind.js";

/**
 * "noise 9.1 dB above its siblings"; "hum at least 14 dB above its siblings", where theirs hides.
 *
 * @example
 * formatFinding(findReadingKind("noise"), 9.1, 23); // "noise 9.1 dB above its siblings"
 * formatFinding(findReadingKind("hum"), 14, 1, true); // "hum at least 14 dB above its only sibling"
 */
export function formatFinding(
  kind: ReadingKind,
  deviation: number,
  siblings: number,
  atLeast = false,
): string {
  // "distortion 12 dB above nominal: 61 dB above its siblings"
  const name = / nominal$/.test(kind.name) ? `${kind.name}:` : kind.name;
  return `${name} ${atLeast ? "at least " : ""}${difference(deviation)}${unitOf(kind)} ${side(deviation)} ${crowd(siblings)}`;
}

/**
 * "response 7.2 dB below its siblings at 20 Hz".
 *
 * @example
 * formatResponseFinding(-7.2, 20, 23); // "response 7.2 dB below its siblings at 20 Hz"
 */
export function formatResponseFinding(deviationDb: number, atHz: number, siblings: number): string {
  return `response ${difference(deviationDb)} dB ${side(deviationDb)} ${crowd(siblings)} at ${formatHertz(atHz)}`;
}

/**
 * "noise spectrum 9.1 dB above its siblings at 40 Hz".
 *
 * @example
 * formatSpectrumFinding("noise spectrum", 9.1, 40, 23); // "noise spectrum 9.1 dB above its siblings at 40 Hz"
 */
export function formatSpectrumFinding(
  name: string,
  deviationDb: number,
  atHz: number,
  siblings: number,
): string {
  return `${name} ${difference(deviationDb)} dB ${side(deviationDb)} ${crowd(siblings)} at ${formatHertz(atHz)}`;
}

/** A difference of levels is in decibels, whatever they are counted from. */
function unitOf({ unit }: ReadingKind): string {
  if (unit.startsWith("dB") && !unit.includes("/")) return " dB";
  return unit === "°" || unit === "" ? unit : ` ${unit}`;
}

function crowd(siblings: number): string {
  return siblings === 1 ? "its only sibling" : "its siblings";
}

function side(deviation: number): string {
  return deviation > 0 ? "above" : "below";
}

/** Tenths up to ten decibels, whole ones beyond. */
function difference(deviation: number): string {
  const size = Math.abs(deviation);
  return size < 9.95 ? size.toFixed(1) : size.toFixed(0);
}

/**
 * Two or three digits of a frequency with its unit.
 *
 * @example
 * formatHertz(63.2); // "63 Hz"
 * formatHertz(12_500); // "12.5 kHz"
 */
export function formatHertz(hz: number): string {
  if (hz < 999.5) return `${Number(hz.toPrecision(hz < 99.5 ? 2 : 3))} Hz`;
  return `${Number((hz / 1000).toPrecision(hz < 9950 ? 2 : 3))} kHz`;
}
