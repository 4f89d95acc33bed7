/**
 * Text of letters, digits and signs that each take one column of a terminal and are no part of an
 * emoji: printable ASCII, Latin letters with accents, dashes, quotation marks, dots, minus.
 */
export const narrowText =
  /^[ -~\u00a1-\u00a8\u00aa-\u00ad\u00af-\u024f\u2010-\u2015\u2018-\u201f\u2022\u2026\u2212]*$/;
