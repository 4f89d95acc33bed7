import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { DeskroundError } from "../errors.js";
import { getErrorReason } from "../get-error-reason.js";
import { writeFileAtomic } from "../write-file-atomic.js";

/** What one short pass over the wired paths gave. */
export interface MorningEntry {
  /** ISO 8601 with time. */
  readonly date: string;
  /** `good`: as on the last good day, or accepted as good; `changed`: anything else. */
  readonly verdict: "good" | "changed";
  /** dBFS, or dBu where the desk is calibrated. */
  readonly unit: "dBFS" | "dBu";
  readonly signal: string;
  /** Readings by path; none for a path with no signal. */
  readonly paths: Readonly<Record<string, Readonly<Record<string, number>>>>;
  /** Paths not measured because of a patch or recording fault; absent if there are none. */
  readonly unmeasured?: readonly string[];
  /** What strips that were open at once gave together: readings by the paths, joined by commas. */
  readonly sums?: Readonly<Record<string, Readonly<Record<string, number>>>>;
  /** The result in words. */
  readonly sentence: string;
}

const head = '{"morning":1,';

const logKind = {
  what: "log of mornings",
  isOwn: (bytes: Buffer) => bytes.toString("utf8", 0, head.length) === head,
};

/** The file with a desk's log of mornings. */
export function getMorningLog(folder: string): string {
  return join(folder, "history", "mornings.jsonl");
}

/**
 * The log of mornings, oldest first. Lines that cannot be read are skipped and counted.
 *
 * @throws DeskroundError `round-file` if the file is there and cannot be read
 */
export function readMornings(folder: string): {
  readonly entries: readonly MorningEntry[];
  readonly damaged: number;
} {
  const file = getMorningLog(folder);
  if (!existsSync(file)) return { entries: [], damaged: 0 };
  let text: string;
  try {
    text = readFileSync(file, "utf8");
  } catch (error) {
    throw new DeskroundError(
      "round-file",
      `${file} cannot be read: ${getErrorReason(error)}.`,
      "Check its permissions, or move it away: the next morning then begins a new one.",
      error,
    );
  }
  const entries: MorningEntry[] = [];
  let damaged = 0;
  for (const line of text.split("\n")) {
    if (line.trim() === "") continue;
    const entry = parseLine(line);
    if (entry === undefined) damaged++;
    else entries.push(entry);
  }
  return { entries, damaged };
}

function parseLine(line: string): MorningEntry | undefined {
  let data: unknown;
  try {
    data = JSON.parse(line);
  } catch {
    return undefined;
  }
  const one = data as Partial<MorningEntry> & { readonly morning?: unknown };
  if (typeof one !== "object" || one === null || one.morning !== 1) return undefined;
  const isWhole =
    typeof one.date === "string" &&
    (one.verdict === "good" || one.verdict === "changed") &&
    (one.unit === "dBFS" || one.unit === "dBu") &&
    typeof one.signal === "string" &&
    typeof one.sentence === "string" &&
    isFigures(one.paths) &&
    (one.unmeasured === undefined || Array.isArray(one.unmeasured)) &&
    (one.sums === undefined || isFigures(one.sums));
  return isWhole ? (one as MorningEntry) : undefined;
}

function isFigures(value: unknown): boolean {
  if (typeof value !== "object" || value === null) return false;
  return Object.values(value).every(
    (own) =>
      typeof own === "object" &&
      own !== null &&
      Object.values(own).every((figure) => typeof figure === "number" && Number.isFinite(figure)),
  );
}

/**
 * Adds a line to the log; existing lines are kept as they are, damaged ones too.
 *
 * @throws DeskroundError `cannot-write`
 */
export function appendMorning(folder: string, entry: MorningEntry): void {
  const file = getMorningLog(folder);
  const before = existsSync(file) ? readFileSync(file, "utf8") : "";
  const gap = before === "" || before.endsWith("\n") ? "" : "\n";
  const { date, verdict, unit, signal, paths, unmeasured, sums, sentence } = entry;
  const line = JSON.stringify({
    morning: 1,
    date,
    verdict,
    unit,
    signal,
    paths,
    ...(unmeasured === undefined ? {} : { unmeasured }),
    ...(sums === undefined ? {} : { sums }),
    sentence,
  });
  writeFileAtomic(file, `${before}${gap}${line}\n`, before === "" ? "new" : logKind);
}
