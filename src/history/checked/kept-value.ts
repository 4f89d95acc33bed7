import { existsSync, statSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { isDeepStrictEqual } from "node:util";
import zlib from "node:zlib";
import type { OwnKind } from "../../assert-own-file.js";
import { readRegularFile } from "../../read-regular-file.js";
import { toolVersion } from "../../version.js";
import { formatAsciiJson, parseAsciiJson } from "../ascii-json.js";
import { getIndexFolder } from "../rounds-folder.js";

/** How every kept value begins. */
const start = '{"format":"deskround-kept",';

const keptKind: OwnKind = {
  what: "kept value",
  isOwn: (head) => head.toString("latin1").startsWith(start),
};

/** Bytes; the largest desk has some hundred thousand. */
const largest = 10_000_000;

/** A value, and what it was made from. */
interface Kept<T> {
  readonly source: readonly string[];
  readonly value: T;
}

/**
 * A value that is made from texts, or what was kept of it when it was last made from the same ones.
 * Checking a file written by hand takes longer than reading back what came of it.
 *
 * It counts only if it is complete and was made by this same build from exactly these texts. It
 * is kept where rounds are; if it cannot be written, nothing is lost.
 *
 * @param folder the desk's folder
 * @param name of the kept file
 * @param source the texts; the value may depend on nothing else
 * @param make may throw, which keeps nothing
 * @returns equal to what `make` gives, down to absent keys
 */
export async function readKeptValue<T>(
  folder: string,
  name: string,
  source: readonly string[],
  make: () => Promise<T>,
): Promise<T> {
  const file = getIndexFolder(folder, `${name}.kept`);
  const kept = readKept<T>(file);
  if (kept !== undefined && isSame(kept.source, source)) return kept.value;
  const value = await make();
  if (existsSync(getIndexFolder(folder))) await keep(file, { source, value });
  return value;
}

function readKept<T>(file: string): Kept<T> | undefined {
  try {
    const bytes = readRegularFile(file, largest);
    const end = bytes.indexOf("\n");
    const body = bytes.subarray(end + 1);
    const isOwn = bytes.subarray(0, end).toString("latin1") === formatHead(body);
    return isOwn ? parseAsciiJson<Kept<T>>(body) : undefined;
  } catch {
    return undefined;
  }
}

async function keep<T>(file: string, kept: Kept<T>): Promise<void> {
  try {
    const body = Buffer.from(formatAsciiJson(kept));
    if (body.length > largest) return;
    // JSON has no Infinity and no -0, and leaves out keys that are undefined.
    if (!isDeepStrictEqual(parseAsciiJson(body), kept)) return;
    const { writeFileAtomic } = await import("../../write-file-atomic.js");
    writeFileAtomic(file, `${formatHead(body)}\n${body}`, keptKind);
  } catch {
    // The value is known all the same. Node.js 21, 22.0 and 22.1 have no checksum and keep nothing.
  }
}

function isSame(a: readonly string[], b: readonly string[]): boolean {
  return a.length === b.length && a.every((text, k) => text === b[k]);
}

/** The program's own file tells one build from the next, which may have the same version. */
function formatHead(body: Buffer): string {
  const { mtimeMs } = statSync(fileURLToPath(import.meta.url));
  return `${start}"tool":"${toolVersion}","built":${mtimeMs},"sum":${zlib.crc32(body)}}`;
}
