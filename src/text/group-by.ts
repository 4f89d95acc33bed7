/**
 * Items by key, in the order in which the keys first appear.
 *
 * @example
 * groupBy(["7/mic", "7/line", "8/mic"], (path) => path.split("/")[0]);
 * // Map { "7" => ["7/mic", "7/line"], "8" => ["8/mic"] }
 */
export function groupBy<T, K>(items: Iterable<T>, keyOf: (item: T) => K): Map<K, T[]> {
  const groups = new Map<K, T[]>();
  for (const item of items) {
    const key = keyOf(item);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [item]);
    else group.push(item);
  }
  return groups;
}
