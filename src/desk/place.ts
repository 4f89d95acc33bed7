import { DeskroundError } from "../errors.js";
import { normalizeName } from "./names.js";
import { findClosestWord } from "./paths.js";
import type { Desk } from "./types.js";

/** Where on the desk something is: one input of a strip, a whole strip, or the desk at large. */
export interface DeskPlace {
  /** Absent for what no strip owns: the supply, the master section. */
  readonly strip?: string;
  readonly input?: string;
}

/** What stands for the desk at large, unless a strip bears that name. */
export const wholeDesk = "desk";

/**
 * Finds the place that a text such as `6`, `6/mic` or `desk` names; capitals do not matter.
 *
 * @throws DeskroundError `usage`, naming the part that is unknown and the nearest known name
 */
export function parsePlace(text: string, desk: Pick<Desk, "strips" | "paths">): DeskPlace {
  const wanted = text.trim();
  const slash = wanted.indexOf("/");
  const stripText = slash < 0 ? wanted : wanted.slice(0, slash);
  const strip = desk.strips.find((name) => normalizeName(name) === normalizeName(stripText));
  if (strip === undefined) {
    if (normalizeName(wanted) === wholeDesk) return {};
    throw new DeskroundError(
      "usage",
      `This desk has no strip "${stripText}".`,
      `${stripHint(stripText, desk.strips)} Write a strip (6), an input of one (6/mic) or \`desk\`.`,
    );
  }
  if (slash < 0) return { strip };
  const inputText = wanted.slice(slash + 1);
  const own = desk.paths.filter((path) => path.strip === strip).map(({ input }) => input);
  const input = own.find((name) => normalizeName(name) === normalizeName(inputText));
  if (input !== undefined) return { strip, input };
  const like = findClosestWord(inputText, own);
  throw new DeskroundError(
    "usage",
    `Strip ${strip} has no input "${inputText}".`,
    like === undefined ? `Its inputs: ${own.join(", ")}.` : `Did you mean ${strip}/${like}?`,
  );
}

/** `6/mic`, `6`, or `desk`. */
export function formatPlace({ strip, input }: DeskPlace): string {
  if (strip === undefined) return wholeDesk;
  return input === undefined ? strip : `${strip}/${input}`;
}

function stripHint(text: string, strips: readonly string[]): string {
  const like = findClosestWord(text, strips);
  const range = `Its strips run from ${strips[0]} to ${strips.at(-1)}.`;
  return like === undefined ? range : `Did you mean ${like}? ${range}`;
}
