/**
 * Escapes every character that could start Markdown markup (CommonMark, 2.4), including those of
 * bare links and mentions, and of a list at the start.
 */
export function escapeMarkdown(text: string): string {
  return text
    .replace(/[\\`*_{}[\]<>#|!~&$@^=]|:(?=\/\/)|(?<=mailto|xmpp):|(?<=www)\./gi, "\\$&")
    .replace(/^(\d*)([-+.)])/, "$1\\$2");
}
