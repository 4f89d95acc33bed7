/**
 * A number with its noun, in the plural where English wants it.
 *
 * @example
 * formatCount(1, "path"); // "1 path"
 * formatCount(3, "path"); // "3 paths"
 */
export function formatCount(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}
