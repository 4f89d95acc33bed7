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
    file: "src/rank/shared/separate-shared.ts",
    text: "const at = row.atHz === undefined ? {} : { atHz: row.atHz };",
    original: "row.atHz === undefined",
    replacement: "false",
    why: "a key that is undefined is read as an absent one, and no file has either",
  },
  {
    file: "src/diagnose/causes.ts",
    text: "...(care === undefined ? {} : { care }),",
    original: "care === undefined",
    replacement: "false",
    why: "a key that is undefined is read as an absent one, and no file has either",
  },
  {
    file: "src/measure/controls/controls.ts",
    text: "...(wear === undefined ? {} : { wear }),",
    original: "wear === undefined",
    replacement: "false",
    why: "a key that is undefined is read as an absent one, and no file has either",
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
  {
    file: "src/service/limits/evaluate-comparison.ts",
    text: "if (own > 0) squares += share(comparison, figures, middle, [k], own) ** 2;",
    original: "own > 0",
    replacement: "true",
    why: "a figure without an uncertainty of its own is moved by nothing, and adds nothing",
  },
  {
    file: "src/service/limits/operand-reader.ts",
    text: "if (along.size === 0) middles.set(key, along);",
    original: "along.size === 0",
    replacement: "along.size !== 0",
    why: "the middle is then worked out again for each path, and is the same",
  },
  {
    file: "src/service/limits/operand-reader.ts",
    text: "if (known !== undefined) return known;",
    original: "known !== undefined",
    replacement: "false",
    why: "the middle is then worked out again for each path, and is the same",
  },
  {
    file: "src/history/compare/states.ts",
    text: "({ real, own }) => real && own * deviation < 0 && -own / deviation >= goneShare,",
    original: "own * deviation < 0",
    replacement: "own * deviation <= 0",
    why: "a finding deviates, and of a change of nothing no share is gone",
  },
  {
    file: "src/history/facts/facts-file.ts",
    text: 'const unit = own.find((one) => one !== undefined)?.unit ?? "";',
    original: "one !== undefined",
    replacement: "one === undefined",
    why: "every reading then has its unit beside it, and is read back the same",
  },
  {
    file: "src/history/facts/free-memory.ts",
    text: "if (bytes < worthwhile) return;",
    original: "bytes < worthwhile",
    replacement: "false",
    why: "memory is cleared more often, and nothing else",
  },
  {
    file: "src/history/compare/curves.ts",
    text: "const isSame = high === 0 || grid[high] <= hz * (1 + sameHz);",
    original: "1 + sameHz",
    replacement: "1 - sameHz",
    why: "between the point itself and its neighbour, a share of nearly one gives the point's value",
  },
  {
    file: "src/dsp/welch.ts",
    text: "if (kept) return kept;",
    original: "kept",
    replacement: "false",
    why: "what is kept is made again, and is the same",
  },
  {
    file: "src/rank/rank.ts",
    text: "const count = usual?.readings[kind.id]?.count ?? 0;",
    original: "usual?.readings",
    replacement: "usual.readings",
    why: "without a usual nothing is found to deviate from it, and the line is not reached",
  },
  {
    file: "src/rank/shared/compare-desk.ts",
    text: 'const hiss = before.measurement?.readings[getReadingId("hiss")]?.value;',
    original: "before.measurement?.readings",
    replacement: "before.measurement.readings",
    why: "only paths that were measured before are looked at",
  },
  {
    file: "src/rank/shared/reference/find-drift.ts",
    text: 'return harm === "down" ? change * levelDb < 0 : change * levelDb > 0;',
    original: "change * levelDb < 0",
    replacement: "change * levelDb <= 0",
    why: "what did not change at all is told in neither case",
  },
  {
    file: "src/diagnose/causes/dirty-contact.ts",
    text: 'const falls = nominal !== undefined && isOutlier(path, "thd", "up") && nominal > hot + 3;',
    original: "nominal !== undefined",
    replacement: "true",
    why: "what has no deviation is no outlier either",
  },
  {
    file: "src/diagnose/causes/supply-ripple.ts",
    text: 'if (even === undefined || !isOutlier(path, "humEven", "up")) return undefined;',
    original: "even === undefined",
    replacement: "false",
    why: "what has no deviation is no outlier either",
  },
  {
    file: "src/diagnose/find-dangers.ts",
    text: "while (at < right.length && word[at] === right[at]) at++;",
    original: "at < right.length",
    replacement: "true",
    why: "two words that are not the same differ no later than behind the end of the shorter",
  },
  {
    file: "src/dsp/deconvolution.ts",
    text: "for (let n = from, x = start; x < 1 && n >= 0 && n < weights.length; n += step) {",
    original: "n < weights.length",
    replacement: "true",
    why: "what is written behind the end of a typed array is dropped, and the flank ends all the same",
  },
  {
    file: "src/dsp/line-search.ts",
    text: "for (let k = 0; k < count; k++) scales[k] = 1 / (densities[k] * perDensity);",
    original: "k < count",
    replacement: "k <= count",
    why: "one place more is written, and none but the first so many are read",
  },
  {
    file: "src/dsp/frequency-filter.ts",
    text: "if (lagS <= wholeS) return 1;",
    original: "lagS <= wholeS",
    replacement: "lagS < wholeS",
    why: "where the flank begins its cosine is 1 too",
  },
  {
    file: "src/dsp/sine-fit.ts",
    text: "if (length * frequency < leastPeriods || !(frequency > 0 && frequency < 0.5)) {",
    original: "frequency > 0",
    replacement: "frequency >= 0",
    why: "a frequency of 0 has too few periods already",
  },
  {
    file: "src/dsp/phase-track.ts",
    text: "for (let b = 0; b < count; b++) {",
    original: "b < count",
    replacement: "b <= count",
    why: "behind the last step nothing lies between others, and none but such are jumps",
  },
  {
    file: "src/dsp/phase-track.ts",
    text: "for (let k = b + 1; k < count && k - end <= near; k++) {",
    original: "k < count",
    replacement: "true",
    why: "behind the last step there is no number, and no comparison with it holds",
  },
  {
    file: "src/dsp/quantiser-step.ts",
    text: "for (let n = 0; n < samples.length; n++) {",
    original: "n < samples.length",
    replacement: "n <= samples.length",
    why: "behind the last sample there is no number, and no step is taken from it",
  },
  {
    file: "src/dsp/decimator.ts",
    text: "taps.every((tap, k) => k === half || (half - k) % 2 !== 0 || Math.abs(tap) < 1e-12);",
    original: "(half - k) % 2 !== 0",
    replacement: "(half - k) % 2 === 0",
    why: "the filter for any taps gives the same, and takes longer",
  },
  {
    file: "src/dsp/frequency-filter.ts",
    text: "const length = Math.min(count, out.length / factor - at);",
    original: "out.length / factor - at",
    replacement: "out.length / factor + at",
    why: "what is written behind the end of a typed array is dropped",
  },
  {
    file: "src/dsp/sine-fit.ts",
    text: "for (let n = 0; n < half; n += 2, before -= 2, behind += 2) {",
    original: "n < half",
    replacement: "n <= half",
    why: "what is written before the start and behind the end of a typed array is dropped",
  },
  {
    file: "src/dsp/harmonic-lines.ts",
    text: "if (own > known[ruling]) ruling = k;",
    original: "own > known[ruling]",
    replacement: "own >= known[ruling]",
    why: "lines are equally well known where none is at all, and then nothing is lost by any",
  },
  {
    file: "src/diagnose/shapes.ts",
    text: "for (let i = 0; i < y.length; i++) {",
    original: "i < y.length",
    replacement: "i <= y.length",
    why: "one sum more is made than is read",
  },
  {
    file: "src/history/trend/outlook.ts",
    text: ".filter(({ crossing }) => crossing !== undefined)",
    original: "crossing !== undefined",
    replacement: "true",
    why: "what comes to no limit is put with what comes to none, and such a group is left out",
  },
  {
    file: "src/rank/shared/separate-shared.ts",
    text: "const at = row.atHz === undefined ? {} : { atHz: row.atHz };",
    original: "row.atHz === undefined",
    replacement: "false",
    why: "a key without a value is not written, and reads the same as none",
  },
  {
    file: "src/diagnose/causes.ts",
    text: "...(care === undefined ? {} : { care }),",
    original: "care === undefined",
    replacement: "false",
    why: "a key without a value is not written, and reads the same as none",
  },
  {
    file: "src/measure/controls/controls.ts",
    text: "...(wear === undefined ? {} : { wear }),",
    original: "wear === undefined",
    replacement: "false",
    why: "a key without a value is not written, and reads the same as none",
  },
  {
    file: "src/service/checks/weigh-checks.ts",
    text: "return next === undefined ? weighed : { ...weighed, next };",
    original: "next === undefined",
    replacement: "false",
    why: "a key without a value is not written, and reads the same as none",
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
