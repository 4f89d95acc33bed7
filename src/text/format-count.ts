/**
 * A number with its noun, in the plural if needed.
 *
 * @example
 * formatCount(1, "path"); // "1 path"
 * formatCount(3, "path"); // "3 paths"
 */
export function formatCount(count: number, noun: string, plural = `${noun}s`): string {
  return `${count} ${count === 1 ? noun : plural}`;
}
