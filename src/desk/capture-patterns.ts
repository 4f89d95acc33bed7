import { parsePattern } from "./name-pattern.js";
import { normalizeName } from "./names.js";
import { findClosestWord } from "./paths.js";
import type { DeskPath, NamePattern } from "./types.js";

export interface CapturePatternIssue {
  /** Path of keys below `captures`. */
  readonly place: readonly PropertyKey[];
  readonly at: "key" | "value";
  readonly message: string;
  readonly hint?: string | undefined;
}

export interface CapturePatterns {
  readonly patterns: readonly NamePattern[];
  readonly faults: readonly CapturePatternIssue[];
}

/** Far more than recorders have ways to name files. */
const mostPatterns = 64;

/**
 * Reads patterns of file names: one, a list of them, or those of one input's files under that
 * input; a list may have both.
 *
 * @param written value in the desk file
 *
 * @param paths of the desk
 *
 * @param allowed description of allowed values, for messages
 */
export function parseCapturePatterns(
  written: unknown,
  paths: readonly DeskPath[],
  allowed: string,
): CapturePatterns {
  const patterns: NamePattern[] = [];
  const faults: CapturePatternIssue[] = [];
  const inputs = [...new Set(paths.map(({ input }) => input))];

  const add = (text: string, place: readonly PropertyKey[], input: string | undefined) => {
    const pattern = parsePattern(text, input, inputs);
    if ("fault" in pattern) {
      const { fault, hint } = pattern;
      faults.push({ place, at: "value", message: `${fault}.`, hint });
      return;
    }
    const key = keyOf(pattern);
    const earlier = patterns.find((one) => keyOf(one) === key);
    if (earlier !== undefined) {
      const message = `pattern "${pattern.text}" is there twice.`;
      const hint = "A name must have one meaning: remove one of them.";
      faults.push({
        place,
        at: "value",
        message,
        ...(earlier.input === pattern.input ? {} : { hint }),
      });
    }
    patterns.push(pattern);
  };

  const walk = (
    value: unknown,
    place: readonly PropertyKey[],
    input: string | undefined,
    inList: boolean,
  ): void => {
    if (typeof value === "string") {
      add(value, place, input);
    } else if (Array.isArray(value) && !inList) {
      value.forEach((item, i) => {
        walk(item, [...place, i], input, true);
      });
    } else if (isBlock(value) && input === undefined) {
      for (const [name, own] of Object.entries(value)) {
        const known = inputs.find((one) => normalizeName(one) === normalizeName(name));
        if (known === undefined) {
          const like = findClosestWord(name, inputs);
          const hint =
            like === undefined
              ? `Its inputs: ${inputs.join(", ")}. A text with a colon in it needs quotes.`
              : `Did you mean ${like}?`;
          const message = `the desk has no input ${name}.`;
          faults.push({ place: [...place, name], at: "key", message, hint });
          continue;
        }
        walk(own, [...place, name], known, false);
      }
    } else {
      const what = value === null ? "nothing" : "something else";
      const message = `${what} is where a pattern should be; allowed: ${allowed}.`;
      faults.push({ place, at: "value", message });
    }
  };
  walk(written, [], undefined, false);
  if (patterns.length === 0 && faults.length === 0) {
    faults.push({ place: [], at: "value", message: '"captures" holds no pattern.' });
  }
  if (patterns.length > mostPatterns) {
    const message = `${patterns.length} patterns are more than the ${mostPatterns} allowed.`;
    faults.push({ place: [], at: "value", message });
  }
  return { patterns, faults };
}

function isBlock(value: unknown): value is object {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** Key that is equal for patterns that fit the same names. */
function keyOf({ parts }: NamePattern): string {
  return parts.map((part) => (part.kind === "text" ? part.text : `<${part.kind}>`)).join("");
}
