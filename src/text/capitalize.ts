/**
 * A text with its first letter in upper case.
 *
 * @example
 * capitalize("strip 7 hums"); // "Strip 7 hums"
 */
export function capitalize(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
