const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/**
 * Escapes a text for use between tags or in a quoted attribute, in XML (1.0, 2.4) and HTML. The
 * text must hold no control characters except line breaks.
 *
 * @example
 * escapeMarkup(`7 < 8 & "so"`); // "7 &lt; 8 &amp; &quot;so&quot;"
 */
export function escapeMarkup(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => entities[sign]);
}
