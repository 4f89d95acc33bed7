import { hasUnseen } from "../text/unseen.js";

/** Longest name of a strip, input or family: tables must fit a terminal of 80 columns. */
const longest = 16;

const stripPattern = /^[\p{L}\p{N}][\p{L}\p{N}\p{M}._+-]*$/u;
const inputPattern = /^\p{L}[\p{L}\p{N}\p{M}._+-]*$/u;

/**
 * Why a text cannot be a strip's name, or undefined if it can. Names appear in `7/mic`, in
 * comma-separated lists and on terminals, so slash, comma, space and control characters are not
 * allowed.
 */
export function validateStripName(text: string): string | undefined {
  return nameFault(
    text,
    stripPattern,
    "only letters, digits and . _ + -, beginning with a letter or digit",
  );
}

/** The same for inputs and families, which must begin with a letter. */
export function validateInputName(text: string): string | undefined {
  return nameFault(text, inputPattern, "a letter first, then letters, digits and . _ + -");
}

/** Why a text cannot be shown on one line of a terminal, or undefined if it can. */
export function validateLine(text: string, maxLength: number): string | undefined {
  if (hasUnseen(text)) return "holds control characters or invisible ones";
  if (text.length > maxLength) return `is longer than ${maxLength} characters`;
  return undefined;
}

/** Normalises a text for comparison: composed accents, lower case. */
export function normalizeName(text: string): string {
  return text.normalize("NFC").toLowerCase();
}

function nameFault(text: string, pattern: RegExp, rule: string): string | undefined {
  if (text === "") return "the name is empty";
  if (text.length > longest) return `the name is longer than ${longest} characters`;
  if (!pattern.test(text)) return `not a usable name (${rule})`;
  return undefined;
}
