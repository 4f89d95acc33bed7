import type { Reading } from "../../measure/types.js";
import type { Scatter } from "../../rank/robust-stats.js";
import { formatSigned } from "../../text/format-signed.js";
import { getDecimals } from "../format-reading.js";

/** Standard error of the median of normal values, relative to that of their mean: √(π/2). */
const medianError = Math.sqrt(Math.PI / 2);

/** Expanded uncertainty (95 %) of a family's median, from its scatter. */
function medianUncertainty({ scale, count }: Scatter): number {
  return (2 * medianError * scale) / Math.sqrt(count);
}

/** The median of the siblings, with the digits that their scatter justifies. */
export function formatFamilyValue(scatter: Scatter, unit: string): string {
  const digits = Math.min(getDecimals(medianUncertainty(scatter)), 2);
  return appendUnit(formatSigned(scatter.median.toFixed(digits)), unit);
}

/** Value less median, with the digits that both justify. */
export function formatDifference({ value, uncertainty }: Reading, scatter: Scatter): string {
  const doubt = Math.hypot(uncertainty, medianUncertainty(scatter));
  const text = (value - scatter.median).toFixed(Math.min(getDecimals(doubt), 2));
  return Number(text) > 0 ? `+${text}` : formatSigned(text);
}

/** A number with its unit, if it has one. */
export function appendUnit(text: string, unit: string): string {
  return unit === "" ? text : `${text} ${unit}`;
}

const months = [
  "January",
  "February",
  "March",
  "April",
  "May",
  "June",
  "July",
  "August",
  "September",
  "October",
  "November",
  "December",
] as const;

/** "25 November 2026"; a text that does not start with a date is returned as it is. */
export function formatDay(date: string): string {
  const [, year, month, day] = /^(\d{4})-(\d{2})-(\d{2})/.exec(date) ?? [];
  const name = months[Number(month) - 1];
  return name === undefined ? date : `${Number(day)} ${name} ${year}`;
}
