import type { SectionKind } from "../../desk/section-kinds.js";

/**
 * Features of a note's words at a part of the desk other than a strip: "the knob turns round" is
 * about the send at an aux send, and about the level in the monitor section.
 *
 * @param words what `listFeatures` returns; only whole words count
 * @param kind of the part of the desk; undefined for a strip, where words mean what they say
 * @returns each feature once with its share
 * @example
 * [...listPlaceWords(new Map([["knob", 1]]), "send").keys()]; // ["P:send", "P:send+knob"]
 */
export function listPlaceWords(
  words: ReadonlyMap<string, number>,
  kind: SectionKind | undefined,
): ReadonlyMap<string, number> {
  if (kind === undefined) return new Map();
  return new Map([
    [`P:${kind}`, 1],
    ...[...words]
      .filter(([word]) => !/[~ ]/.test(word))
      .map(([word, share]) => [`P:${kind}+${word}`, share] as const),
  ]);
}
