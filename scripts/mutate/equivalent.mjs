/**
 * Changes that alter nothing anybody could see, each with its reason. A line is named by its text, so
 * that it is still found after others have moved it; one that is rewritten is looked at again.
 */
const equivalent = [];

/**
 * @param mutant an entry of `listMutants`
 * @returns {string | undefined} why it alters nothing; undefined where that is not known
 */
export function findEquivalent({ file, text, original, replacement }) {
  return equivalent.find(
    (known) =>
      known.file === file &&
      known.text === text &&
      known.original === original &&
      known.replacement === replacement,
  )?.why;
}
