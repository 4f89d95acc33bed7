import { getBoundSide } from "../measure/is-bound.js";
import type { NamedValues } from "../measure/reading-kind.js";
import type { Reading } from "../measure/types.js";
import { formatSigned } from "../text/format-signed.js";

/** Nobody needs to read less than a thousandth of a decibel. */
const mostDecimals = 3;

/** Marks a figure that is limited by the interface, or nearly so. */
export const interfaceMark = "†";

/**
 * The decimals that two digits of an uncertainty justify, at least 0 and at most {@link
 * mostDecimals}.
 */
export function getDecimals(uncertainty: number): number {
  if (!(uncertainty > 0)) return 0;
  return Math.max(0, Math.min(mostDecimals, 1 - Math.floor(Math.log10(uncertainty))));
}

/** The name nearest to a reading's value; the first of two equally near ones. */
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
    // A bound above 0 must not be rounded down to 0.
    const shown = bound === "upper" && value > 0 ? Math.max(value, 10 ** -digits) : value;
    return `at ${bound === "upper" ? "most" : "least"} ${formatSigned(shown.toFixed(digits))}${unitText}`;
  }
  if (uncertainty === 0) return `${formatSigned(value.toFixed(0))}${unitText}`;
  return `${formatSigned(value.toFixed(digits))} ± ${Math.max(uncertainty, 10 ** -mostDecimals).toFixed(digits)}${unitText}`;
}
