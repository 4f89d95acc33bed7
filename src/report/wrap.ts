/**
 * Breaks a text into lines at spaces; a word longer than a whole line is cut.
 *
 * @param width columns
 * @param first printed before the first line, counted in the width
 * @param rest printed before the other lines
 */
export function wrapText(text: string, width: number, first = "", rest = first): readonly string[] {
  return wrapWords(text.split(" "), width, first, rest);
}

/**
 * The same for a list of words; a word that contains spaces, such as a number with its unit, is not
 * broken.
 */
export function wrapWords(
  words: readonly string[],
  width: number,
  first = "",
  rest = first,
): readonly string[] {
  const lines: string[] = [];
  let line = first;
  let empty = true;
  const room = width - Math.max(first.length, rest.length);
  for (const word of words.flatMap((part) => pieces(part, room))) {
    if (!empty && line.length + 1 + word.length > width) {
      lines.push(line);
      line = rest;
      empty = true;
    }
    line += empty ? word : ` ${word}`;
    empty = false;
  }
  lines.push(line);
  return lines;
}

/** Splits a word into pieces of at most `length` characters; none for an empty word. */
function pieces(word: string, length: number): readonly string[] {
  const count = Math.ceil(word.length / length);
  return Array.from({ length: count }, (_, i) => word.slice(i * length, (i + 1) * length));
}
