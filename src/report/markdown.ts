/**
 * A text in which nothing is markup: every sign that could begin some is escaped (CommonMark, 2.4),
 * those of links made of bare addresses and of mentions included, and of lists at the beginning.
 */
export function escapeMarkdown(text: string): string {
  return text
    .replace(/[\\`*_{}[\]<>#|!~&$@^=]|:(?=\/\/)|(?<=mailto|xmpp):|(?<=www)\./gi, "\\$&")
    .replace(/^(\d*)([-+.)])/, "$1\\$2");
}
