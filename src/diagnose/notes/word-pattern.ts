/**
 * Endings that `~` in a pattern stands for: crackle, crackles, crackled, crackling, crackly; drop,
 * dropped, dropping.
 */
const endings =
  "(?:[bdglmnprstz]?(?:s|es|e|ed|d|ing|in|y|ey|ie|ies|ier|er|ers|est|iest|ly|iness|ness|ish|le|les))?";

/**
 * Compiles a word pattern into a regular expression over what `normalizeNote` returns. It is
 * written like one, with `~` for any ending of a word.
 *
 * @example
 * compileWords("crackl~").exec("the fader crackles")?.[0]; // "crackles"
 */
export function compileWords(pattern: string): RegExp {
  return new RegExp(`(?<![a-z0-9])(?:${pattern.replaceAll("~", endings)})(?![a-z0-9])`, "g");
}

/** Common endings, for listing the forms of a word. */
const spelledEndings = ["", "s", "es", "ed", "ing", "y", "e", "er"];

/**
 * The words in patterns: `~` with its commonest endings, `u?` with and without the letter.
 *
 * @example
 * listWords(["colou?r"]); // ["colour", "color"]
 */
export function listWords(patterns: readonly string[]): readonly string[] {
  const words = patterns.flatMap((pattern) => pattern.match(/[a-z][a-z?]*~?/g) ?? []);
  return words.flatMap(listOptional).flatMap((word) => {
    if (!word.endsWith("~")) return [word];
    const stem = word.slice(0, -1);
    const doubled = /[^aeiou][aeiou][bgmnprt]$/.test(stem)
      ? ["ed", "ing", "y", "er"].map((end) => stem + stem.at(-1) + end)
      : [];
    return [...spelledEndings.map((end) => stem + end), ...doubled];
  });
}

function listOptional(word: string): readonly string[] {
  const at = word.indexOf("?");
  if (at < 0) return [word];
  const [before, after] = [word.slice(0, at), word.slice(at + 1)];
  return [before + after, before.slice(0, -1) + after].flatMap(listOptional);
}

/**
 * The stems before `~` in patterns.
 *
 * @example
 * listStems(["crackl~", "fade out", "crackl~ loud~"]); // ["crackl", "loud"]
 */
export function listStems(patterns: readonly string[]): readonly string[] {
  const stems = patterns.flatMap((pattern) => pattern.match(/[a-z]+(?=~)/g) ?? []);
  return [...new Set(stems)];
}

/** A part of a text that fits a pattern. */
export interface WordMatch<T> {
  readonly is: T;
  readonly start: number;
  readonly end: number;
}

/**
 * All matches of patterns in a text, in order and without overlap; of two that overlap the longer
 * counts, and of two equally long ones the earlier row.
 *
 * @example
 * const rows = [["fader", compileWords("fader")], ["channel fader", compileWords("channel fader")]];
 * findMatches(rows, "the channel fader sticks"); // [{ is: "channel fader", start: 4, end: 17 }]
 */
export function findMatches<T>(
  rows: readonly (readonly [is: T, pattern: RegExp])[],
  text: string,
): readonly WordMatch<T>[] {
  const found: WordMatch<T>[] = [];
  for (const [is, pattern] of rows) {
    // Hundreds of rows are tried on every note; `matchAll` would copy each pattern first.
    pattern.lastIndex = 0;
    for (let match = pattern.exec(text); match !== null; match = pattern.exec(text)) {
      found.push({ is, start: match.index, end: pattern.lastIndex });
      if (match[0] === "") pattern.lastIndex++;
    }
  }
  const longestFirst = found
    .map((match, row) => ({ match, row }))
    .sort((a, b) => b.match.end - b.match.start - (a.match.end - a.match.start) || a.row - b.row);
  const taken: WordMatch<T>[] = [];
  for (const { match } of longestFirst) {
    if (taken.every(({ start, end }) => match.end <= start || match.start >= end))
      taken.push(match);
  }
  return taken.sort((a, b) => a.start - b.start);
}
