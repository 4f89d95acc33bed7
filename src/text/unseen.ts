/** Characters that move the cursor, reverse text, are invisible, or are not characters at all. */
const unseen = String.raw`[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}\p{Noncharacter_Code_Point}]`;
const one = new RegExp(unseen, "u");
const all = new RegExp(unseen, "gu");

/**
 * Whether a text holds invisible characters or ones that act on a terminal.
 *
 * @example
 * hasUnseen("mic\u202e7"); // true
 */
export function hasUnseen(text: string): boolean {
  return one.test(text);
}

/**
 * Replaces each character that is invisible or acts on a terminal.
 *
 * @example
 * replaceUnseen("a\u0007b", () => "\uFFFD"); // "a\uFFFDb"
 */
export function replaceUnseen(text: string, by: (sign: string) => string): string {
  return text.replace(all, by);
}
