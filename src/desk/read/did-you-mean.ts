import { findClosestWord } from "../paths.js";

/** A hint that names the choice that a mistyped word is nearest to; undefined where none is near. */
export function didYouMean(word: string, choices: readonly string[]): string | undefined {
  const like = findClosestWord(word, choices);
  return like === undefined ? undefined : `Did you mean ${like}?`;
}
