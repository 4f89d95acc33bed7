import { normalizeName } from "../../desk/names.js";
import { recordingExtension } from "../../desk/recording-kinds.js";
import type { DeskPath, NamePattern } from "../../desk/types.js";
import type { Doubt } from "../../doubt.js";
import { findUnknownStrip, matchPatterns, type PatternMatch } from "./fit-patterns.js";

/**
 * What a capture's name says about the paths in it: by the patterns of the desk file or, if none
 * fits, freely. The folder, the extension and case do not matter; anything may separate words. It
 * looks for the names of the desk's inputs and strips:
 *
 * - an input alone is that input of every strip: `mic.wav`;
 * - a strip alone is every input of that strip, if it is marked as one by a word before it
 *   (`strip 7.wav`, `ch7.wav`) or is more than a number or a letter (`3A.wav`);
 * - both together are one path: `07-mic.wav`, `7_mic.wav`, `mic07.wav`, `Strip 7 Mic take 2.wav`;
 * - a plain number is a strip only next to an input, or as the whole name on a desk with one input: there `07.wav` is strip 7, elsewhere it is just the seventh file.
 *
 * Leading zeros do not count. Dates, times, takes (`take 2`, `t2`, `(2)`), parts (`_001`), sample
 * rates, word lengths, levels and voltages are not strips.
 */
export type NameReading =
  /** Nothing: the file takes its place in the run sheet's order. */
  | { readonly says: "nothing"; readonly doubt?: NameDoubt }
  /** One path or several, in run-sheet order. */
  | { readonly says: "paths"; readonly paths: readonly DeskPath[]; readonly doubt?: NameDoubt }
  /** The name is ambiguous, or says something that the desk does not have. */
  | { readonly says: "unclear"; readonly why: string; readonly hint?: string };

/** Doubts that a name leaves. */
export type NameDoubt = Extract<
  Doubt,
  {
    readonly code:
      | "name-near-pattern"
      | "name-without-strip"
      | "name-of-unknown-strip"
      | "number-as-strip";
  }
>;

/**
 * @param file name, with or without folder
 * @param paths of the desk, in run-sheet order
 * @param patterns of the desk file
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * const paths = [path("7", "mic"), path("7", "line")];
 * readFileName("07-mic.wav", paths).paths.map(({ path: name }) => name); // ["7/mic"]
 * readFileName("evening.wav", paths).says; // "nothing"
 */
export function readFileName(
  file: string,
  paths: readonly DeskPath[],
  patterns: readonly NamePattern[] = [],
): NameReading {
  const fits = matchPatterns(file, patterns, paths);
  if (fits.length > 0) return fitted(fits, paths);
  const reading = readAsItComes(file, paths);
  if (reading.says !== "nothing") return reading;
  const stranger = findUnknownStrip(file, patterns, paths);
  if (stranger === undefined) return reading;
  const { pattern, strip = "" } = stranger;
  return {
    says: "nothing",
    doubt: { code: "name-near-pattern", file, pattern: pattern.text, strip },
  };
}

/** The reading by the patterns that a name fits; unclear if they disagree. */
function fitted(fits: readonly PatternMatch[], paths: readonly DeskPath[]): NameReading {
  const meant = fits
    .map((fit) => ({ fit, own: pathsOf(fit, paths) }))
    .filter(({ own }) => own.length > 0);
  const [first] = meant;
  if (first === undefined) {
    const { strip, input } = fits[0];
    return {
      says: "unclear",
      why: `names strip ${strip} and input ${input}, no path of this desk`,
    };
  }
  const other = meant.find(({ own }) => own.join() !== first.own.join());
  if (other === undefined) {
    return { says: "paths", paths: paths.filter(({ path }) => first.own.includes(path)) };
  }
  return {
    says: "unclear",
    why: `fits ${fitWords(first.fit)} and ${fitWords(other.fit)}, by \`captures\` of the desk file`,
    hint: "Say with --map which path it is, rename the file, or make the patterns more specific.",
  };
}

function pathsOf({ strip, input }: PatternMatch, paths: readonly DeskPath[]): readonly string[] {
  return paths
    .filter((p) => (strip ?? p.strip) === p.strip && (input ?? p.input) === p.input)
    .map(({ path }) => path);
}

function fitWords({ pattern, strip, input }: PatternMatch): string {
  const what =
    strip === undefined
      ? `every strip's ${input}`
      : input === undefined
        ? `strip ${strip}`
        : `${strip}/${input}`;
  return `${what} ("${pattern.text}")`;
}

function readAsItComes(file: string, paths: readonly DeskPath[]): NameReading {
  const names = deskNames(paths);
  const words = tokens(withoutNoise(bareName(file), names));
  const found = search(words, names);
  if (found.unknownStrip !== undefined) {
    const why = `says strip ${found.unknownStrip}, but this desk has no strip ${found.unknownStrip}`;
    if (found.inputs.size > 0) return { says: "unclear", why };
    const strip = found.unknownStrip;
    return { says: "nothing", doubt: { code: "name-of-unknown-strip", file, strip } };
  }
  if (found.strips.size === 0) return inputsAlone(found, paths, file);
  if (found.inputs.size === 0) return stripsAlone(found, words, paths);
  const chosen = paths.filter((p) => found.strips.has(p.strip) && found.inputs.has(p.input));
  const [strips, inputs] = [listed(found.strips), listed(found.inputs)];
  if (chosen.length > 0) {
    const reading = oneStrip(chosen);
    if (reading.says !== "paths" || found.marked.size > 0 || standsBeside(found)) return reading;
    return { ...reading, doubt: { code: "number-as-strip", file, strip: strips } };
  }
  return {
    says: "unclear",
    why: `names strip ${strips} and input ${inputs}, no path of this desk`,
  };
}

/**
 * The inputs that a name contains, among other words; none if it contains none.
 *
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 *
 * [...findInputsInName("all-mic.wav", [path("7", "mic"), path("7", "line")])]; // ["mic"]
 */
export function findInputsInName(
  file: string,
  paths: readonly DeskPath[],
  patterns: readonly NamePattern[] = [],
): ReadonlySet<string> {
  const fits = matchPatterns(file, patterns, paths);
  if (fits.length > 0) return new Set(fits.flatMap(({ input }) => input ?? []));
  const names = deskNames(paths);
  return search(tokens(withoutNoise(bareName(file), names)), names).inputs;
}

/**
 * The take number in a name; 1 if it has none.
 *
 * @param paths of the desk, for its patterns
 * @example
 * parseTakeNumber("7-mic take 2.wav"); // 2
 * parseTakeNumber("7-mic.wav"); // 1
 */
export function parseTakeNumber(
  file: string,
  paths: readonly DeskPath[] = [],
  patterns: readonly NamePattern[] = [],
): number {
  const fit = matchPatterns(file, patterns, paths).find(({ take }) => take !== undefined);
  if (fit?.take !== undefined) return fit.take;
  const name = bareName(file);
  const numbered = /(?<![\p{L}\p{N}])(?:(?:re)?take|tk|t|try)[-_ .]*(\d{1,4})(?!\d)/u.exec(name);
  if (numbered !== null) return Number(numbered[1]);
  const copy = /\((\d{1,4})\)\s*$/.exec(name);
  if (copy !== null) return 1 + Number(copy[1]);
  return /(?<!\p{L})(?:retake|redo|again)(?!\p{L})/u.test(name) ? 2 : 1;
}

interface Token {
  readonly text: string;
  /** Whether it follows the token before directly. */
  readonly glued: boolean;
}

interface DeskName {
  readonly kind: "strip" | "input";
  readonly name: string;
  readonly tokens: readonly Token[];
}

interface Search {
  readonly inputs: Set<string>;
  readonly strips: Set<string>;
  /** Those of them that are certainly strips. */
  readonly marked: Set<string>;
  /** Positions of inputs, and of strips that could be any number: first and last token. */
  readonly inputsAt: (readonly [number, number])[];
  readonly bareAt: (readonly [number, number])[];
  /** Short numbers that are not strips. */
  readonly strays: string[];
  unknownStrip?: string;
}

const stripWords = new Set(
  "strip strips str channel channels chan chn ch track trk module mod".split(" "),
);

function search(words: readonly Token[], names: readonly DeskName[]): Search {
  const found: Search = {
    inputs: new Set(),
    strips: new Set(),
    marked: new Set(),
    inputsAt: [],
    bareAt: [],
    strays: [],
  };
  let at = 0;
  while (at < words.length) {
    const name = nameAt(words, at, names);
    if (name !== undefined) {
      take(found, name, isBare(name) ? "bare" : "marked");
      const span = [at, at + name.tokens.length - 1] as const;
      if (name.kind === "input") found.inputsAt.push(span);
      else if (isBare(name)) found.bareAt.push(span);
      at += name.tokens.length;
      continue;
    }
    const { text } = words[at];
    const next = words[at + 1];
    if (stripWords.has(text) && next !== undefined) {
      const strip = nameAt(words, at + 1, names);
      if (strip?.kind === "strip") {
        take(found, strip, "marked");
        at += 1 + strip.tokens.length;
        continue;
      }
      if (isNumber(next.text)) found.unknownStrip = next.text;
    } else if (isNumber(text) && text.length <= 3) {
      found.strays.push(text);
    }
    at++;
  }
  return found;
}

function take(found: Search, { kind, name }: DeskName, how: "bare" | "marked"): void {
  if (kind === "input") {
    found.inputs.add(name);
  } else {
    found.strips.add(name);
    if (how === "marked") found.marked.add(name);
  }
}

/** Whether a plain number is directly before or after an input, as in `07-mic` or `mic 7`. */
function standsBeside({ inputsAt, bareAt }: Search): boolean {
  return bareAt.some(([from, to]) =>
    inputsAt.some(([first, last]) => from === last + 1 || first === to + 1),
  );
}

function inputsAlone(
  { inputs, strays }: Search,
  paths: readonly DeskPath[],
  file: string,
): NameReading {
  if (inputs.size === 0) return { says: "nothing" };
  const chosen = paths.filter((p) => inputs.has(p.input));
  if (strays.length === 0) return { says: "paths", paths: chosen };
  const doubt = { code: "name-without-strip", file, words: strays, inputs: [...inputs] } as const;
  return { says: "paths", paths: chosen, doubt };
}

function stripsAlone(
  { strips, marked }: Search,
  words: readonly Token[],
  paths: readonly DeskPath[],
): NameReading {
  const singleInput = new Set(paths.map(({ input }) => input)).size === 1;
  if (marked.size === 0 && !(singleInput && words.length === 1)) return { says: "nothing" };
  return oneStrip(paths.filter((p) => strips.has(p.strip)));
}

function oneStrip(chosen: readonly DeskPath[]): NameReading {
  const strips = new Set(chosen.map(({ strip }) => strip));
  if (strips.size === 1) return { says: "paths", paths: chosen };
  return { says: "unclear", why: `fits strips ${listed(strips)}` };
}

/** The longest name of the desk that begins at a token. */
function nameAt(words: readonly Token[], at: number, names: readonly DeskName[]) {
  return names.find(({ tokens: parts }) =>
    parts.every(({ text, glued }, k) => {
      const word = words[at + k];
      return word !== undefined && word.text === text && (k === 0 || !glued || word.glued);
    }),
  );
}

/** A strip that could be any number or letter. */
function isBare({ tokens: parts }: DeskName): boolean {
  return parts.length === 1 && (isNumber(parts[0].text) || parts[0].text.length === 1);
}

/** Strips and inputs, the longest first, so that `3A` is found before `3`. */
function deskNames(paths: readonly DeskPath[]): readonly DeskName[] {
  const of = (kind: DeskName["kind"]) =>
    [...new Set(paths.map((path) => path[kind]))].map((name) => ({
      kind,
      name,
      tokens: tokens(normalizeName(name)),
    }));
  return [...of("strip"), ...of("input")]
    .filter(({ tokens: parts }) => parts.length > 0)
    .sort((a, b) => b.tokens.length - a.tokens.length);
}

function tokens(text: string): readonly Token[] {
  let end = -1;
  return Array.from(text.matchAll(/\d+|[\p{L}\p{M}]+/gu), (match) => {
    const glued = match.index === end;
    end = match.index + match[0].length;
    return { text: match[0].replace(/^0+(?=\d)/, ""), glued };
  });
}

/** Without folder and extension, in lower case. */
function bareName(file: string): string {
  const name = file.replace(/^.*[/\\]/s, "").replace(recordingExtension, "");
  return normalizeName(name);
}

const day = "(?:0?[1-9]|[12]\\d|3[01])";
const month = "(?:0[1-9]|1[0-2])";
const monthName =
  "(?:jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)";
const year = "(?:19|20)\\d\\d";
const hours = "(?:[01]\\d|2[0-3])";
const sixties = "[0-5]\\d";

/** Parts of a name with numbers that are not strips. */
const noise: readonly RegExp[] = [
  // Dates with the year first, and a time after one: 2026-11-25 14-30, 20261125_143005.
  alone(
    `${year}[-_. ]?${month}[-_. ]?(?:0[1-9]|[12]\\d|3[01])(?:[-_. t]*${hours}[-_.:h ]?${sixties}(?:[-_.:m ]?${sixties}s?)?)?`,
  ),
  alone(`\\d{1,2}[-_.]\\d{1,2}[-_.]${year}`),
  alone(`\\d\\d([-_.])${month}\\1\\d\\d`),
  alone(`${day}[-_. ]*${monthName}(?:[-_. ]*${year})?`),
  alone(`${monthName}[-_. ]*${day}(?:[-_., ]*${year})?`),
  alone(`${hours}([-_.])${sixties}\\1${sixties}`),
  alone(`\\d{1,2}[h:]${sixties}(?:[m:]${sixties})?s?`),
  // Takes, parts and other counts.
  alone(
    "(?:takes?|retake|tk|try|version|ver|rev|copy|part|pt|pass|round|rnd|session|day|disc|disk)[-_ .]*\\d+",
  ),
  alone("take[-_ .]*\\p{L}"),
  alone("[tv]\\d+"),
  /\(\d+\)\s*$/gu,
  // Quantities: 96k, 44.1 kHz, 24 bit, -18 dBFS, 48V.
  alone("\\d+(?:\\.\\d+)?[-_ ]?(?:khz|hz|bits?|dbu|dbfs|dbv|db|volts?|sec|min|ms)"),
  alone("\\d+(?:\\.\\d+)?[kvs]"),
  /[-_ ]0\d{2,}\s*$/gu,
];

function alone(pattern: string): RegExp {
  return new RegExp(`(?<![\\p{L}\\p{N}])${pattern}(?![\\p{L}\\p{N}])`, "gu");
}

/** Removes the noise, except names of strips or inputs of the desk. */
function withoutNoise(text: string, names: readonly DeskName[]): string {
  const spelt = (parts: readonly Token[]) => parts.map(({ text: word }) => word).join(" ");
  const isName = (part: string) => {
    const trimmed = part.replace(/^[-_ ]+|[-_ ]+$/g, "");
    const words = spelt(tokens(part));
    return names.some(
      (name) =>
        normalizeName(name.name) === trimmed || (!isBare(name) && spelt(name.tokens) === words),
    );
  };
  return noise.reduce(
    (left, pattern) => left.replace(pattern, (part) => (isName(part) ? part : " | ")),
    text,
  );
}

function isNumber(text: string): boolean {
  return /^\d+$/.test(text);
}

function listed(names: ReadonlySet<string>): string {
  return [...names].join(" and ");
}
