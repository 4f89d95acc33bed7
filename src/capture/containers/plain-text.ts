import { replaceUnseen } from "../../text/unseen.js";

const spacing = /[\t\r\n\v\f\u2028\u2029]+/gu;

/**
 * A text from a file, fit for a terminal: line ends become spaces, control characters are removed.
 *
 * @example
 * sanitizeText("two\nlines\u0007"); // "two lines"
 */
export function sanitizeText(text: string): string {
  return replaceUnseen(text.replace(spacing, " "), () => "").trim();
}

const utf8 = new TextDecoder("utf-8", { fatal: true });

/**
 * Text of a chunk: up to the first NUL, as UTF-8 if valid, Latin-1 otherwise, because both occur in
 * `bext` and `adtl` although the standards ask for ASCII.
 *
 * @example
 * decodeChunkText(Uint8Array.of(100, 101, 115, 107, 0, 120)); // "desk"
 * // Not UTF-8, so Latin-1.
 * decodeChunkText(Uint8Array.of(0xe9)); // "é"
 */
export function decodeChunkText(bytes: Uint8Array): string {
  const end = bytes.indexOf(0);
  const used = end < 0 ? bytes : bytes.subarray(0, end);
  try {
    return sanitizeText(utf8.decode(used));
  } catch {
    return sanitizeText(Buffer.from(used).toString("latin1"));
  }
}
