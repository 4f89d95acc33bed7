/**
 * A source as a change of one place leaves it.
 *
 * @param {string} source
 * @param {{ start: { line: number, column: number }, end: { line: number, column: number },
 *   original: string, replacement: string }} change lines and columns from 0
 * @returns {string}
 * @throws {Error} where the place does not hold what is to be replaced
 */
export function applyChange(source, { start, end, original, replacement }) {
  const from = offsetOf(source, start);
  const to = offsetOf(source, end);
  if (source.slice(from, to) !== original) throw new Error("the source is not the one drawn from");
  return source.slice(0, from) + replacement + source.slice(to);
}

function offsetOf(source, { line, column }) {
  let at = 0;
  for (let k = 0; k < line; k++) at = source.indexOf("\n", at) + 1;
  return at + column;
}
