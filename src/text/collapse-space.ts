/**
 * A text on one line: white space becomes single spaces, and is removed at both ends.
 *
 * @example
 * collapseSpace(" 7 hums,\n  badly "); // "7 hums, badly"
 */
export function collapseSpace(text: string): string {
  return text.replace(/\s+/gu, " ").trim();
}
