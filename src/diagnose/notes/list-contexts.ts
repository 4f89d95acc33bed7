/** Filler words, which mean nothing by themselves. */
const fillers = new Set(
  (
    "a an the this that of in on at to by for with from as is was are were be been it its i me my we " +
    "he she his her your you they there here has have had do does did then when so if"
  ).split(" "),
);
/** Words that deny what follows in the clause. */
const deniers = new Set(
  "no not isnt doesnt dont without never none wont cant didnt arent nothing".split(" "),
);
/** Number of following words that a denial covers. */
const reach = 4;

/**
 * Context features, in addition to those of `listFeatures`: pairs across one word and across
 * fillers, whether a word is in the first clause or a later one ("fader fine, its the eq"), and
 * what is denied ("no light").
 *
 * @param note what `normalizeNote` returns
 * @returns each feature once with its share
 * @example
 * [...listContexts("no light , solo works").keys()].slice(-1); // ["N:light"]
 */
export function listContexts(note: string): ReadonlyMap<string, number> {
  const features = new Map<string, number>();
  const words = note
    .split(" ")
    .filter((word) => word !== "")
    .map((word) => (/^\d+(?:p\d+)?$/.test(word) ? "#" : word));
  const content = words.filter((word) => word !== "," && !fillers.has(word));
  for (const [k, word] of content.entries()) {
    for (const next of content.slice(k + 1, k + 3)) features.set(`${word}_${next}`, 0.5);
  }
  let clause = "A";
  for (const word of words) {
    if (word === ",") clause = "B";
    else if (!fillers.has(word)) features.set(`${clause}:${word}`, 0.5);
  }
  let left = 0;
  for (const word of words) {
    if (deniers.has(word)) left = reach;
    else if (word === ",") left = 0;
    else if (left > 0 && !fillers.has(word)) {
      features.set(`N:${word}`, 0.7);
      left--;
    }
  }
  return features;
}
