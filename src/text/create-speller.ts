/**
 * Corrects typing errors: an unknown word becomes the nearest known word.
 *
 * @param known words as they are spelled; `ordinary` ones are left alone too
 * @returns the word that is meant, or the same word if none is near enough
 */
export function createSpeller(
  known: readonly string[],
  ordinary: readonly string[],
): (word: string) => string {
  const right = new Set([...known, ...ordinary]);
  const targets = [...new Set(known)].filter((word) => word.length >= 4);
  // "lmp", "jck": short words without their vowel.
  const bare = new Map<string, string>();
  for (const word of targets) {
    const left = word.replace(/[aeiou]/g, "");
    if (word.length === 4 && left.length === 3 && !bare.has(left)) bare.set(left, word);
  }
  return (word) => {
    if (word.length === 3 && !right.has(word)) return bare.get(word) ?? word;
    if (word.length < 4 || /\d/.test(word) || right.has(word)) return word;
    let best: { readonly is: string; readonly slips: number } | undefined;
    for (const is of targets) {
      const slips = countSlips(word, is, mostSlips(is));
      if (slips === undefined) continue;
      const isNearer = best === undefined || slips < best.slips;
      // A letter is left out more often than mistyped.
      const isLonger =
        best?.slips === slips && is.length > word.length && best.is.length <= word.length;
      if (isNearer || isLonger) best = { is, slips };
    }
    return best?.is ?? word;
  };
}

/** Short words are too close to others; long words are clear even with two errors. */
function mostSlips(word: string): number {
  return word.length >= 8 ? 2 : 1;
}

/**
 * The number of typing errors between two words: letters swapped, left out, doubled or replaced
 * (the distance of Damerau, with Levenshtein's operations; F. J. Damerau, "A technique for computer
 * detection and correction of spelling errors", 1964; from memory). The first letter is seldom
 * wrong, and must match. In a word of four letters only swapped or doubled letters count.
 *
 * @returns undefined if there are more than `most`
 */
function countSlips(word: string, is: string, most: number): number | undefined {
  if (word[0] !== is[0] || Math.abs(word.length - is.length) > most) return undefined;
  if (is.length === 4) return isSwapped(word, is) || isDoubled(word, is) ? 1 : undefined;
  const width = is.length + 1;
  let before: number[] = [];
  let last = Array.from({ length: width }, (_, k) => k);
  for (let i = 1; i <= word.length; i++) {
    const row = [i];
    for (let k = 1; k < width; k++) {
      const same = word[i - 1] === is[k - 1];
      row[k] = Math.min(last[k] + 1, row[k - 1] + 1, last[k - 1] + (same ? 0 : 1));
      if (i > 1 && k > 1 && word[i - 1] === is[k - 2] && word[i - 2] === is[k - 1]) {
        row[k] = Math.min(row[k], before[k - 2] + 1);
      }
    }
    if (Math.min(...row) > most) return undefined;
    [before, last] = [last, row];
  }
  return last[is.length] <= most ? last[is.length] : undefined;
}

function isSwapped(word: string, is: string): boolean {
  if (word.length !== is.length) return false;
  const at = [...word].findIndex((letter, k) => letter !== is[k]);
  return (
    word[at] === is[at + 1] && word[at + 1] === is[at] && word.slice(at + 2) === is.slice(at + 2)
  );
}

/** Whether one word has a letter twice where the other has it once. */
function isDoubled(word: string, is: string): boolean {
  const single = (text: string) => text.replace(/(.)\1+/g, "$1");
  return word !== is && single(word) === single(is);
}
