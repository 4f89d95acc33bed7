/** A number somebody wrote, its unit as written, and the value of its last digit. */
export interface WrittenDecimal {
  readonly value: number;
  /** Empty if there is none. */
  readonly unit: string;
  /** 0.001 for `1.228`; 1 for a whole number. */
  readonly step: number;
}

/**
 * A decimal number as people write it: with a point or a comma, any kind of minus sign, and a unit
 * with or without a space before it.
 *
 * @returns undefined if the text is not a single number
 * @example
 * parseDecimal("−40,5 dBu"); // { value: -40.5, unit: "dBu", step: 0.1 }
 */
export function parseDecimal(text: string): WrittenDecimal | undefined {
  const match =
    /^([-+\u2212\u2013]?)\s*(\d{1,12}(?:[.,]\d{0,12})?|[.,]\d{1,12})\s*([\p{L}%°Ωµμ][\p{L}%°/]*\.?)?$/u.exec(
      text.trim(),
    );
  if (match === null) return undefined;
  const [, sign, digits, unit = ""] = match;
  const value = Number(digits.replace(",", ".")) * (sign === "" || sign === "+" ? 1 : -1);
  const decimals = /[.,](\d*)$/.exec(digits)?.[1].length ?? 0;
  return { value: value === 0 ? 0 : value, unit, step: 10 ** -decimals };
}
