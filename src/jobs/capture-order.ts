/** Shells list by the bytes of a name or as a dictionary does. */
const words = new Intl.Collator("en");
/** Digits count as numbers: take 2 comes before take 10. */
const byNumber = new Intl.Collator("en", { numeric: true });

/**
 * Whether files stand as a shell lists them, letter by letter, where their numbers ask for another
 * order: "take 1, take 10, take 2". Files in an order of the user's own are left alone.
 *
 * @returns the first two neighbours in the wrong order; undefined where nothing is amiss
 */
export function orderFault(files: readonly string[]): readonly [string, string] | undefined {
  const byLetter = files.every((file, k) => k === 0 || files[k - 1] < file);
  const byWord = files.every((file, k) => k === 0 || words.compare(files[k - 1], file) < 0);
  if (!byLetter && !byWord) return undefined;
  // Without the extension: "evening" comes before "evening_2", whatever a full stop weighs.
  const stems = files.map((file) => file.replace(/\.[a-z0-9]{1,5}$/i, ""));
  const wrong = stems.findIndex((stem, k) => k > 0 && byNumber.compare(stems[k - 1], stem) > 0);
  return wrong < 0 ? undefined : [files[wrong - 1], files[wrong]];
}
