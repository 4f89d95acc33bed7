/** A part that a note calls by its designator, and how a meter measures its kind. */
export interface NotedPart {
  readonly name: string;
  readonly what: "resistor" | "capacitor";
}

/**
 * The first resistor or capacitor that a note calls by its designator and whose value or state it
 * says is wrong: only a reading shows what to replace it with.
 *
 * @param text a note, verbatim
 * @example
 * findPart("r7 is off value"); // { name: "R7", what: "resistor" }
 * findPart("R7 replaced"); // undefined
 */
export function findPart(text: string): NotedPart | undefined {
  const found = /\b([rc])(\d{1,4}[a-z]?)\b/i.exec(text);
  if (found === null || !ailing.test(text) || denied.test(text)) return undefined;
  const [, kind, number] = found;
  return {
    name: `${kind.toUpperCase()}${number}`,
    what: kind.toLowerCase() === "r" ? "resistor" : "capacitor",
  };
}

const ailing =
  /\b(?:off|out of tolerance|tolerance|drifted|wrong|value|measures?d?|reads?|open|short(?:ed)?|dried|dry|leak(?:s|y|ing)?|low|high|suspect|bad|dead|faulty|cracked)\b/i;
const denied = /\b(?:replaced|changed|swapped|renewed|fitted|ok|okay|fine|in order)\b/i;
