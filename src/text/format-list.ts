/** More names than these become a number. */
const maxNames = 4;

/**
 * A few names, and the number of the others.
 *
 * @example
 * formatList(["1/mic", "2/mic"]); // "1/mic, 2/mic"
 * formatList(["1", "2", "3", "4", "5", "6"]); // "1, 2, 3, 4 and 2 more"
 */
export function formatList(names: readonly string[]): string {
  if (names.length <= maxNames) return names.join(", ");
  return `${names.slice(0, maxNames).join(", ")} and ${names.length - maxNames} more`;
}
