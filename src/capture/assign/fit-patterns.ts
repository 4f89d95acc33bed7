import { normalizeFileName } from "../../desk/name-pattern.js";
import { recordingExtension } from "../../desk/recording-kinds.js";
import type { DeskPath, NamePattern, PatternPart } from "../../desk/types.js";

/** One way in which a file's name fits a pattern of the desk file. */
export interface PatternMatch {
  readonly pattern: NamePattern;
  /** Absent where the file holds every strip, or every input. */
  readonly strip?: string;
  readonly input?: string;
  readonly take?: number;
}

/** What the placeholders stand for in one way of fitting. */
type Values = Omit<PatternMatch, "pattern">;

/** Names of the desk as patterns see them. */
interface Known {
  readonly strips: readonly Name[];
  readonly inputs: readonly Name[];
}

interface Name {
  readonly name: string;
  readonly text: string;
}

/**
 * All the patterns that a name fits, and for each what its placeholders stand for; more than one
 * for a pattern only where these are different strips or inputs. Of the takes that a name could
 * tell, the one that lets `<any>` stand for least.
 *
 * @param file name, with or without folder and extension
 * @example
 * const path = (strip, input) => ({ path: `${strip}/${input}`, strip, input, family: input });
 * matchPatterns("7-mic.wav", [], [path("7", "mic")]); // []
 */
export function matchPatterns(
  file: string,
  patterns: readonly NamePattern[],
  paths: readonly DeskPath[],
): readonly PatternMatch[] {
  if (patterns.length === 0) return [];
  const known = { strips: namesOf(paths, "strip"), inputs: namesOf(paths, "input") };
  return fits(file, patterns, known);
}

/**
 * A pattern that a name would fit if the desk had such a strip.
 *
 * @example
 * findUnknownStrip("99-mic.wav", [], []); // undefined
 */
export function findUnknownStrip(
  file: string,
  patterns: readonly NamePattern[],
  paths: readonly DeskPath[],
): PatternMatch | undefined {
  if (patterns.length === 0) return undefined;
  const numbers = new Set(normalizeFileName(baseName(file)).match(/\d+/g));
  const strips = [...numbers].map((name) => ({ name, text: name }));
  return fits(file, patterns, { strips, inputs: namesOf(paths, "input") })[0];
}

function fits(
  file: string,
  patterns: readonly NamePattern[],
  known: Known,
): readonly PatternMatch[] {
  const name = normalizeFileName(baseName(file)).trim();
  if (name.length > longestName) return [];
  const kinds = Array.from({ length: name.length }, (_, at) => kindOf(name[at]));
  const within = ({ text }: Name) => name.includes(text);
  const here = { strips: known.strips.filter(within), inputs: known.inputs.filter(within) };
  return patterns.flatMap((pattern) =>
    waysToFit(name, kinds, pattern.parts, here).map((values) => ({
      pattern,
      ...(pattern.input === undefined ? {} : { input: pattern.input }),
      ...values,
    })),
  );
}

/** Without folder and extension. */
function baseName(file: string): string {
  return file.replace(/^.*[/\\]/s, "").replace(recordingExtension, "");
}

/** File systems take no longer names. */
const longestName = 255;

function namesOf(paths: readonly DeskPath[], kind: "strip" | "input"): readonly Name[] {
  return [...new Set(paths.map((path) => path[kind]))].map((name) => ({
    name,
    text: normalizeFileName(name),
  }));
}

/**
 * Goes through the parts from the last to the first, and for each keeps in which ways the rest of
 * the name behind every place fits the parts behind it: so the work grows with the length of name
 * and pattern, never with the number of ways.
 */
function waysToFit(
  name: string,
  kinds: readonly Kind[],
  parts: readonly PatternPart[],
  known: Known,
): readonly Values[] {
  const places = name.length + 1;
  let behind: (readonly Values[])[] = Array.from({ length: places }, (_, at) =>
    at === name.length ? [{}] : [],
  );
  for (let k = parts.length - 1; k >= 0; k--) {
    const [before, part, after] = [parts[k - 1], parts[k], parts[k + 1]];
    const here: (readonly Values[])[] = Array.from({ length: places }, () => []);
    let later: readonly Values[] = [];
    for (let at = name.length; at >= 0; at--) {
      if (part.kind === "any") {
        if (!splits(kinds, at, after)) later = merged(behind[at], later);
        if (!splits(kinds, at, before)) here[at] = later;
      } else if (part.kind === "text") {
        const end = textEnd(name, at, part.text);
        if (end !== undefined) here[at] = behind[end];
      } else {
        here[at] = valuesAt(name, kinds, at, part.kind, known).reduce<readonly Values[]>(
          (ways, { value, end }) =>
            merged(
              ways,
              behind[end].map((rest) => ({ ...rest, [part.kind]: value })),
            ),
          [],
        );
      }
    }
    behind = here;
  }
  return behind[0];
}

/**
 * Where in a name a text ends that begins at a place, if it stands there. Where `<any>` stands for
 * nothing, its two spaces are one, and none at either end of the name.
 */
function textEnd(name: string, at: number, text: string): number | undefined {
  const from = text.startsWith(" ") && (at === 0 || name[at - 1] === " ") ? 1 : 0;
  const last = at + text.length - from;
  const to = text.endsWith(" ") && last === name.length + 1 ? -1 : undefined;
  const own = text.slice(from, to);
  return name.startsWith(own, at) ? at + own.length : undefined;
}

interface Value {
  readonly value: string | number;
  /** Where in the name it ends. */
  readonly end: number;
}

/** What may stand for a placeholder from a place on; leading zeros of a number do not count. */
function valuesAt(
  name: string,
  kinds: readonly Kind[],
  at: number,
  kind: "strip" | "input" | "take",
  { strips, inputs }: Known,
): readonly Value[] {
  let from = at;
  while (name[from] === "0" && kinds[from + 1] === "digit") from++;
  if (kind === "take") {
    let end = from;
    while (kinds[end] === "digit") end++;
    const digits = end - from;
    return digits > 0 && digits <= mostDigits
      ? [{ value: Number(name.slice(from, end)), end }]
      : [];
  }
  return (kind === "strip" ? strips : inputs).flatMap(({ name: value, text }) =>
    name.startsWith(text, from) ? [{ value, end: from + text.length }] : [],
  );
}

/** Of a take's number; a time to the second (20310314093005) is one too. */
const mostDigits = 15;

type Kind = "digit" | "letter" | "other";

function kindOf(sign: string): Kind {
  if (/\d/.test(sign)) return "digit";
  return /[\p{L}\p{M}]/u.test(sign) ? "letter" : "other";
}

/**
 * Whether `<any>` would end or begin within a number; or within a word, where a name stands beside
 * it: in `<any><strip>` strip 7 is not what 17 ends in, nor strip A what "extra" ends in.
 */
function splits(kinds: readonly Kind[], at: number, beside: PatternPart | undefined): boolean {
  if (beside === undefined || at === 0) return false;
  const kind = kinds[at];
  if (kind !== kinds[at - 1]) return false;
  return kind === "digit" || (kind === "letter" && beside.kind !== "text");
}

/** More ways than this say no more than that there are several. */
const mostWays = 4;

/** Ways of different strips or inputs, those of the first list first. */
function merged(one: readonly Values[], other: readonly Values[]): readonly Values[] {
  if (other.length === 0) return one;
  if (one.length === 0) return other;
  const more = other.filter(
    (way) => !one.some(({ strip, input }) => strip === way.strip && input === way.input),
  );
  return more.length === 0 ? one : [...one, ...more].slice(0, mostWays);
}
