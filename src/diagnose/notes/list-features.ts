/**
 * Features by which weights are learned and looked up: words, pairs of adjacent words, and pieces
 * of four and five letters, which long words, compounds and typing errors share.
 *
 * @param note what `normalizeNote` returns
 * @returns each feature once with its share; the squares of all add up to 4
 * @example
 * [...listFeatures("fader jams").keys()].slice(0, 3); // ["fader", "jams", "fader jams"]
 */
export function listFeatures(note: string): ReadonlyMap<string, number> {
  const words = note
    .split(" ")
    .filter((word) => word !== "")
    .map((word) => (/^\d+(?:p\d+)?$/.test(word) ? "#" : word));
  const features = new Map<string, number>();
  for (const word of words) features.set(word, 1);
  for (const [k, word] of words.slice(1).entries()) features.set(`${words[k]} ${word}`, 0.7);
  for (const word of words) {
    if (word.length < 4) continue;
    const whole = `^${word}$`;
    for (const length of [4, 5]) {
      for (let at = 0; at + length <= whole.length; at++) {
        features.set(`~${whole.slice(at, at + length)}`, 0.4);
      }
    }
  }
  const size = Math.sqrt([...features.values()].reduce((sum, share) => sum + share ** 2, 0));
  return new Map([...features].map(([feature, share]) => [feature, (2 * share) / size]));
}
