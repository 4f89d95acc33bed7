import { type NoteLine, noteLineSchema } from "./schema.js";
import type { DamagedLine } from "./types.js";

/** The lines of a notebook, one by one. */
export interface NoteLines {
  /** Those that can be read, with their numbers from 1. */
  readonly lines: readonly { readonly line: NoteLine; readonly at: number }[];
  readonly damaged: readonly DamagedLine[];
}

/** Reads and checks each line of a notebook by itself. */
export function readNoteLines(bytes: Uint8Array): NoteLines {
  const lines: { line: NoteLine; at: number }[] = [];
  const damaged: DamagedLine[] = [];
  let start = 0;
  for (let at = 1; start < bytes.length; at++) {
    const newline = bytes.indexOf(0x0a, start);
    const end = newline < 0 ? bytes.length : newline;
    const text = decoded(bytes.subarray(start, end));
    start = end + 1;
    if (text?.trim() === "") continue;
    const found = text === undefined ? "it is not in UTF-8" : parsedLine(text);
    if (typeof found !== "string") {
      lines.push({ line: found, at });
      continue;
    }
    // After a line left unfinished by a crash, another writer's complete line may follow.
    const behind = text === undefined ? undefined : lineBehind(text);
    damaged.push({ at, reason: behind ? "it begins with an unfinished line" : found });
    if (behind) lines.push({ line: behind, at });
  }
  return { lines, damaged };
}

/** Beginning of every line; it cannot occur inside a JSON text, where quotes are escaped. */
export const lineStart = '{"note":';

function lineBehind(text: string): NoteLine | undefined {
  const start = text.lastIndexOf(lineStart);
  if (start <= 0) return undefined;
  const found = parsedLine(text.slice(start));
  return typeof found === "string" ? undefined : found;
}

function decoded(bytes: Uint8Array): string | undefined {
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: false }).decode(bytes);
  } catch {
    return undefined;
  }
}

/** The parsed line, or why it is invalid. */
function parsedLine(text: string): NoteLine | string {
  let data: unknown;
  try {
    data = JSON.parse(text);
  } catch {
    return "it is not complete JSON";
  }
  const { note, kind } = Object(data) as { note?: unknown; kind?: unknown };
  if (typeof note === "number" && note > 1) return "a newer deskround wrote it";
  const result = noteLineSchema.safeParse(data);
  if (result.success) return result.data;
  const [issue] = result.error.issues;
  const place = issue?.path.join(".") ?? "";
  if (note === undefined || kind === undefined) return "it is not a notebook entry";
  return `${place === "" ? "it" : `"${place}"`} is not valid (${issue?.message})`;
}
