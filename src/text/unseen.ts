/** Signs that move the cursor, turn text round, cannot be seen, or stand for none. */
const unseen = String.raw`[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}\p{Noncharacter_Code_Point}]`;
const one = new RegExp(unseen, "u");
const all = new RegExp(unseen, "gu");

/**
 * Whether a text holds signs that cannot be seen or do something to a terminal.
 *
 * @example
 * hasUnseen("mic\u202e7"); // true
 */
export function hasUnseen(text: string): boolean {
  return one.test(text);
}

/**
 * A text with something else for each sign that cannot be seen or does something to a terminal.
 *
 * @example
 * replaceUnseen("a\u0007b", () => "\uFFFD"); // "a\uFFFDb"
 */
export function replaceUnseen(text: string, by: (sign: string) => string): string {
  return text.replace(all, by);
}
