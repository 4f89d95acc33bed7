/**
 * A text on one line: white space within it becomes single spaces, at its ends it goes.
 *
 * @example
 * collapseSpace(" 7 hums,\n  badly "); // "7 hums, badly"
 */
export function collapseSpace(text: string): string {
  return text.replace(/\s+/gu, " ").trim();
}
