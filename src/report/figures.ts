import type { Reading } from "../measure/types.js";

/** A figure with the minus sign of print, and none before a zero. */
export function signed(text: string): string {
  return text.replace(/^-(?=[0.]*$)/, "").replace(/^-/, "−");
}

/** Finer than a thousandth of a decibel nobody needs to read. */
const mostDecimals = 3;

/** Decimals that two digits of an uncertainty justify; none below the decimal point's reach. */
function decimals(uncertainty: number): number {
  if (!(uncertainty > 0)) return 0;
  return Math.max(0, Math.min(mostDecimals, 1 - Math.floor(Math.log10(uncertainty))));
}

/**
 * A reading with its uncertainty, both to the digits that the uncertainty justifies (JCGM 100,
 * 7.2.6): "−18.021 ± 0.010 dB".
 */
export function figure({ value, unit, uncertainty, limitedBy }: Reading): string {
  const digits = decimals(uncertainty);
  const unitText = unit === "" ? "" : ` ${unit}`;
  if (limitedBy === "noise") return `at most ${signed(value.toFixed(digits))}${unitText}`;
  if (uncertainty === 0) return `${signed(value.toFixed(0))}${unitText}`;
  return `${signed(value.toFixed(digits))} ± ${Math.max(uncertainty, 10 ** -mostDecimals).toFixed(digits)}${unitText}`;
}

/** "1 path", "3 paths". */
export function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}
