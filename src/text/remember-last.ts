/**
 * Wraps a slow function of a text so that it remembers its latest results.
 *
 * @param make always gives the same result for the same text
 * @param most number of texts that are remembered; with one more it starts again
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
