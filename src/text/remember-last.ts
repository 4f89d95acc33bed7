/**
 * A function of a text that remembers what it gave of late, for what is slow and asked for again.
 *
 * @param make gives the same for the same text, whenever it is asked
 * @param most texts that are remembered; with one more it begins again
 * @example
 * const lengthOf = rememberLast((text) => text.length, 100);
 * lengthOf("fader"); // 5
 */
export function rememberLast<T>(make: (text: string) => T, most: number): (text: string) => T {
  const known = new Map<string, T>();
  return (text) => {
    if (known.has(text)) return known.get(text) as T;
    const made = make(text);
    if (known.size >= most) known.clear();
    known.set(text, made);
    return made;
  };
}
