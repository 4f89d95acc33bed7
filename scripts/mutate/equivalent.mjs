/**
 * Changes that alter nothing anybody could see, each with its reason. A line is named by its text, so
 * that it is still found after others have moved it; one that is rewritten is looked at again.
 */
const equivalent = [
  {
    file: "src/dsp/welch.ts",
    text: "const first = Math.max(0, Math.round(fromHz / stepHz));",
    original: "Math.max(0, Math.round(fromHz / stepHz))",
    replacement: "Math.min(0, Math.round(fromHz / stepHz))",
    why: "bins below the band are then looked at and left out: `high <= low`",
  },
  {
    file: "src/dsp/harmonic-lines.ts",
    text: "for (let k = 0; k < count; k++) {",
    original: "k < count",
    replacement: "k <= count",
    why: "what is written behind the end of a typed array is dropped",
  },
  {
    file: "src/history/compare/shift.ts",
    text: "for (let first = 0; first + half <= length; first++) {",
    original: "first + half",
    replacement: "first - half",
    why: "behind the end the widths are no numbers, and no comparison with them holds",
  },
  {
    file: "src/service/limits/evaluate-comparison.ts",
    text: "if (one.common === 0) continue;",
    original: "one.common === 0",
    replacement: "false",
    why: "without a shared part none shares it, and nothing is added",
  },
];

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
