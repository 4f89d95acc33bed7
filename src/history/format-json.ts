import { replaceUnseen } from "../text/unseen.js";

/** Longest line for a small block on one line, characters. */
const lineWidth = 100;

/**
 * JSON laid out for people and for line-by-line comparison: a list of numbers is on one line
 * however long it is, and so is a short block that contains no other blocks. No string can move
 * the cursor or reverse the text direction.
 *
 * @throws Error for a number that JSON cannot hold: those must never get this far
 */
export function formatJson(value: unknown): string {
  return `${lay(value, "")}\n`;
}

function lay(value: unknown, indent: string): string {
  if (typeof value === "number" && !Number.isFinite(value)) {
    throw new Error(`a reading is ${value}: it should have been absent with a reason`);
  }
  if (typeof value === "string") return quoted(value);
  if (typeof value !== "object" || value === null) return JSON.stringify(value) ?? "null";
  const deeper = `${indent}  `;
  const [open, close, parts] = Array.isArray(value)
    ? ["[", "]", value.map((item) => lay(item, deeper))]
    : ["{", "}", fields(value, deeper)];
  if (parts.length === 0) return open + close;
  const padding = open === "{" ? " " : "";
  const line = `${open}${padding}${parts.join(", ")}${padding}${close}`;
  if (isNumbers(value)) return line;
  if (isFlat(value) && indent.length + line.length <= lineWidth) return line;
  return `${open}\n${parts.map((part) => deeper + part).join(",\n")}\n${indent}${close}`;
}

function fields(value: object, indent: string): string[] {
  return Object.entries(value)
    .filter(([, field]) => field !== undefined)
    .map(([key, field]) => `${quoted(key)}: ${lay(field, indent)}`);
}

/**
 * A string of JSON that a terminal shows as it is. JSON itself leaves most characters that
 * do something to a terminal, and a name taken from a file may hold any: they are written as
 * escapes, which every reader of JSON turns back.
 */
function quoted(text: string): string {
  return replaceUnseen(JSON.stringify(text), escaped);
}

/** As `\uXXXX`, two of them beyond the first 65,536 characters (RFC 8259, 7). */
function escaped(character: string): string {
  return Array.from({ length: character.length }, (_, k) => {
    return `\\u${character.charCodeAt(k).toString(16).padStart(4, "0")}`;
  }).join("");
}

function isNumbers(value: object): boolean {
  return Array.isArray(value) && value.every((item) => typeof item === "number");
}

function isFlat(value: object): boolean {
  return Object.values(value).every((item) => typeof item !== "object" || item === null);
}
