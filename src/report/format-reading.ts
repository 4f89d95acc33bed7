import { getBoundSide } from "../measure/is-bound.js";
import type { NamedValues } from "../measure/reading-kind.js";
import type { Reading } from "../measure/types.js";
import { formatSigned } from "../text/format-signed.js";

/** Finer than a thousandth of a decibel nobody needs to read. */
const mostDecimals = 3;

/** Behind a figure that the interface set, or nearly so. */
export const interfaceMark = "†";

/** Decimals that two digits of an uncertainty justify; none below the decimal point's reach. */
export function getDecimals(uncertainty: number): number {
  if (!(uncertainty > 0)) return 0;
  return Math.max(0, Math.min(mostDecimals, 1 - Math.floor(Math.log10(uncertainty))));
}

/** The name of a reading's value where it has a few; the first where it lies between two. */
export function formatNamedValue({ names }: NamedValues, value: number): string {
  const away = (one: NamedValues["names"][number]) => Math.abs(one.value - value);
  return names.reduce((a, b) => (away(b) < away(a) ? b : a)).name;
}

/**
 * A reading with its uncertainty, both to the digits that the uncertainty justifies (JCGM 100,
 * 7.2.6): "−18.021 ± 0.010 dB".
 */
export function formatReading(reading: Reading): string {
  const { value, unit, uncertainty, limitedBy } = reading;
  const digits = getDecimals(uncertainty);
  const mark = limitedBy === "interface" ? ` ${interfaceMark}` : "";
  const unitText = (unit === "" ? "" : ` ${unit}`) + mark;
  const bound = getBoundSide(reading);
  if (bound !== undefined) {
    // Nothing is at most 0 that was measured as more.
    const shown = bound === "upper" && value > 0 ? Math.max(value, 10 ** -digits) : value;
    return `at ${bound === "upper" ? "most" : "least"} ${formatSigned(shown.toFixed(digits))}${unitText}`;
  }
  if (uncertainty === 0) return `${formatSigned(value.toFixed(0))}${unitText}`;
  return `${formatSigned(value.toFixed(digits))} ± ${Math.max(uncertainty, 10 ** -mostDecimals).toFixed(digits)}${unitText}`;
}
