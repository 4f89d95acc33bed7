/**
 * A number in digits with a typographic minus sign, and no sign before a zero.
 *
 * @example
 * formatSigned("-18.0"); // "−18.0"
 * formatSigned("-0.0"); // "0.0"
 */
export function formatSigned(text: string): string {
  return text.replace(/^-(?=[0.]*$)/, "").replace(/^-/, "−");
}

/**
 * A change, always with a sign; zero gets a plus.
 *
 * @param text as `toFixed` writes it
 * @example
 * formatChange("7.3"); // "+7.3"
 * formatChange("-0.04"); // "−0.04"
 */
export function formatChange(text: string): string {
  const signed = formatSigned(text);
  return signed.startsWith("−") ? signed : `+${signed}`;
}
