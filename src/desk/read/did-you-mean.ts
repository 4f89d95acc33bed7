import { findClosestWord } from "../paths.js";

/** A hint with the choice nearest to a mistyped word; undefined if none is near. */
export function didYouMean(word: string, choices: readonly string[]): string | undefined {
  const like = findClosestWord(word, choices);
  return like === undefined ? undefined : `Did you mean ${like}?`;
}
