const prefixes = ["p", "n", "µ", "m", "", "k", "M", "G"];

/**
 * A component's value as in a parts list: two digits and a prefix.
 *
 * @example
 * quantity(4.7e-6, "F"); // "4.7 µF"
 */
export function quantity(value: number, unit: string): string {
  if (value === 0) return `0 ${unit}`;
  const rounded = Number(value.toPrecision(2));
  const power = Math.floor(Math.log10(Math.abs(rounded)) / 3 + 1e-9);
  const bounded = Math.min(3, Math.max(-4, power));
  return `${Number((rounded / 1000 ** bounded).toPrecision(2))} ${prefixes[bounded + 4]}${unit}`;
}
