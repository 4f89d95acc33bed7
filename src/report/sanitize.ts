/** Characters that move the cursor, turn text round, cannot be seen, or stand for none. */
const unseen = /[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}\p{Noncharacter_Code_Point}]/gu;

/**
 * A text on one line, safe for a terminal and a log: names of desks and strips come from files that
 * anyone may have written. White space becomes single spaces, what cannot be seen becomes U+FFFD.
 */
export function sanitizeLine(text: string): string {
  return text
    .replace(/[ \t\r\n]+/g, " ")
    .trim()
    .replace(unseen, "\uFFFD");
}

/** The same for a part of a text: white space at its ends stays. */
export function stripInvisible(text: string): string {
  return text.replace(/[ \t\r\n]+/g, " ").replace(unseen, "\uFFFD");
}
