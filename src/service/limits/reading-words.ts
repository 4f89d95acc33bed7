import { readingKinds } from "../../measure/reading-kinds.js";

/** A name for a reading in expressions, and its id. */
interface ReadingWord {
  readonly pattern: RegExp;
  readonly id: string;
}

/**
 * Replaces displayed names of readings, and ids in other case, by ids: `noise (A-weighted)` and
 * `NoiseA` both become `noiseA`. A name before a bracket with a frequency is a curve and stays.
 *
 * @example
 * replaceReadingWords("distortion at 100 Hz <= 0.1 %"); // "thd100 <= 0.1 %"
 */
export function replaceReadingWords(text: string): string {
  let rest = text;
  // Names found are set aside, so that shorter names are not found inside them.
  const found: string[] = [];
  for (const { pattern, id } of words) {
    rest = rest.replace(pattern, (name, at: number) => {
      if (isCurve(rest, at + name.length)) return name;
      return `\u0000${found.push(id) - 1}\u0000`;
    });
  }
  return rest.replace(/\0(\d+)\0/g, (_, n: string) => found[Number(n)]);
}

/**
 * Replaces decimal commas by points: outside brackets any between two digits, inside only before a
 * unit.
 */
export function replaceDecimalCommas(text: string): string {
  let depth = 0;
  return text.replace(
    /[()]|(?<![\d.])(\d+),(\d+)(?![\d.,])(\s*[A-Za-z%])?/g,
    (all, whole, part, unit) => {
      if (all === "(") depth++;
      else if (all === ")") depth = Math.max(0, depth - 1);
      else if (depth === 0 || unit !== undefined) return `${whole}.${part}${unit ?? ""}`;
      return all;
    },
  );
}

/** Whether brackets with a number, or with only spaces, follow, as after the name of a curve. */
function isCurve(text: string, from: number): boolean {
  return /^\s*\(\s*[\d.]/.test(text.slice(from));
}

const words: readonly ReadingWord[] = readingKinds
  .flatMap(({ id, name, alsoCalled = [] }) =>
    [name, id, ...alsoCalled].map((word) => ({ word, id })),
  )
  .sort((a, b) => b.word.length - a.word.length)
  .map(({ word, id }) => ({ pattern: toPattern(word), id }));

/** A pattern for the word alone, with any spacing and case. */
function toPattern(word: string): RegExp {
  const escaped = word
    .replace(/[.*+?^${}()|[\]\\]/g, "\\$&")
    .replace(/\s+/g, "\\s*")
    .replaceAll("-", "[-\\s]");
  const end = /\w$/.test(word) ? "(?![\\w.])" : "";
  return new RegExp(`(?<![\\w.])${escaped}${end}`, "gi");
}
