import { escapeMarkup } from "../escape.js";
import { stripInvisible } from "../sanitize.js";

/** Text that is markup already; nothing else gets into a page unescaped. */
export class Markup {
  constructor(readonly text: string) {}
}

/** What may stand in a template: texts and numbers are escaped, markup is not. */
export type Part = string | number | Markup | undefined | readonly Part[];

/**
 * A template of HTML or SVG. Whatever is put into it is escaped, for use between tags or in a
 * double-quoted attribute, unless it comes from such a template itself.
 *
 * @example
 * html`<p title="${desk.name}">${desk.name}</p>`
 */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  let text = strings[0];
  parts.forEach((part, k) => {
    text += markupOf(part) + strings[k + 1];
  });
  return new Markup(text);
}

/** Markup that this program wrote itself: its style, its script, a drawn line. */
export function rawMarkup(text: string): Markup {
  return new Markup(text);
}

/**
 * A text whose commands and names, in backticks as on a terminal, are set as code.
 *
 * @example
 * renderCode("see `deskround plan`").text; // "see <code>deskround plan</code>"
 */
export function renderCode(text: string): Markup {
  return new Markup(escapeHtml(text).replace(/`([^`]+)`/g, "<code>$1</code>"));
}

function markupOf(part: Part): string {
  if (part === undefined) return "";
  if (part instanceof Markup) return part.text;
  if (typeof part === "object") return part.map(markupOf).join("");
  return escapeHtml(String(part));
}

/** Matches most texts: printable ASCII without the characters of markup. */
const harmless = /^[ !#-%(-;=?-~]*$/;

/**
 * Escapes a text for use between tags or in a quoted attribute; invisible characters become U+FFFD.
 */
export function escapeHtml(text: string): string {
  if (harmless.test(text)) return text;
  return escapeMarkup(stripInvisible(text));
}
