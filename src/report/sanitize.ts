import { replaceUnseen } from "../text/unseen.js";

/**
 * A text on one line, safe for a terminal and a log: names of desks and strips come from files that
 * anyone may have written. White space becomes single spaces, invisible characters become U+FFFD.
 */
export function sanitizeLine(text: string): string {
  return stripInvisible(text.replace(/[ \t\r\n]+/g, " ").trim());
}

/** The same for a part of a text: white space at its ends is kept. */
export function stripInvisible(text: string): string {
  return replaceUnseen(text.replace(/[ \t\r\n]+/g, " "), () => "\uFFFD");
}
