const entities: Readonly<Record<string, string>> = {
  "&": "&amp;",
  "<": "&lt;",
  ">": "&gt;",
  '"': "&quot;",
  "'": "&#39;",
};

/**
 * A text for between tags or for an attribute in quotes, of XML (1.0, 2.4) as of HTML. It holds no
 * control characters but line ends.
 *
 * @example
 * escapeMarkup(`7 < 8 & "so"`); // "7 &lt; 8 &amp; &quot;so&quot;"
 */
export function escapeMarkup(text: string): string {
  return text.replace(/[&<>"']/g, (sign) => entities[sign]);
}
