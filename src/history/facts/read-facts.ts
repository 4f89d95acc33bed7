import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, rmSync } from "node:fs";
import { join } from "node:path";
import { setImmediate as letEventsIn } from "node:timers/promises";
import type { OwnKind } from "../../assert-own-file.js";
import { DeskroundError } from "../../errors.js";
import { getErrorCode } from "../../get-error-reason.js";
import { withRegularFile } from "../../read-regular-file.js";
import { writeFileAtomic } from "../../write-file-atomic.js";
import { getRoundFileState, isUntouched } from "../round-file-state.js";
import { parseRoundId } from "../round-id.js";
import { getIndexFolder } from "../rounds-folder.js";
import { listAllRounds, parseRound, readRoundBytes } from "../store.js";
import {
  entryStart,
  type FactsEntry,
  type FactsText,
  formatEntry,
  formatFacts,
  parseEntry,
  parseFacts,
  type WholeEntry,
} from "./facts-file.js";
import { freeMemory } from "./free-memory.js";
import type { RoundFacts } from "./types.js";

/** Which facts of which rounds are wanted. */
export interface FactsRequest<T> {
  /** The desk's folder, or that of its controls passes. */
  readonly folder: string;
  /** Which rounds; withdrawn ones may be among them. */
  readonly ids: readonly string[];
  /** Ids of the readings that are wanted; none when absent. */
  readonly readings?: readonly string[];
  /** What is kept of each round: of all of them there may be millions of readings. */
  readonly pick: (facts: RoundFacts) => T;
  /** Called with how many rounds are done, while some have to be read whole. */
  readonly onRead?: OnRead | undefined;
}

export type OnRead = (done: number, total: number) => void;

/** What was picked of a round, or why it cannot be read. */
export type FoundFacts<T> =
  | { readonly id: string; readonly facts: T }
  | { readonly id: string; readonly damaged: string; readonly hint?: string };

export interface ReadFacts<T> {
  /** In the order of the ids. */
  readonly rounds: readonly FoundFacts<T>[];
  /** Entries of the index that were damaged and made again from the rounds, which are untouched. */
  readonly remade: number;
}

/**
 * Facts of many rounds, from the index beside them. The rounds are the truth: an entry counts only
 * as long as the file that it was made from is untouched or has the same checksum. Any other is made
 * again from the round, and stored if possible.
 *
 * The index is a file for each round in `rounds/.index/`, which may be deleted at any time. Plain
 * files rather than an embedded database: that of Node needs Node 22, others need a native build or
 * hold all they know in memory, and damage to one of these files costs one round's reading.
 *
 * @throws DeskroundError where the folder cannot be read; a damaged round is one of the results
 */
export async function readFacts<T>(request: FactsRequest<T>): Promise<ReadFacts<T>> {
  const { folder, ids, readings = [], pick, onRead = () => {} } = request;
  const found = new Map<string, FoundFacts<T>>();
  const missing: string[] = [];
  let spoilt = 0;
  const which = readings.length === 0 ? "head" : "all";
  for (const id of ids) {
    const entry = readEntry(folder, id, which);
    if (entry === "spoilt") spoilt++;
    if (typeof entry === "object" && isUntouched(folder, id, entry.source)) {
      found.set(id, { id, facts: pick(parseFacts(entry.facts, readings)) });
    } else missing.push(id);
  }
  const index = createIndexWriter(folder);
  for (const [done, id] of missing.entries()) {
    onRead(done, missing.length);
    // The progress bar is drawn between two rounds.
    await letEventsIn();
    const one = await remake(folder, id, readings, index);
    found.set(id, "damaged" in one ? one : { id, facts: pick(one.facts) });
    freeMemory(getRoundFileState(folder, id)?.size ?? 0);
  }
  if (missing.length > 0) {
    onRead(missing.length, missing.length);
    index.tidy();
  }
  return {
    rounds: ids.flatMap((id) => found.get(id) ?? []),
    remade: spoilt,
  };
}

/** A round's entry after its file has changed; a copied or touched file keeps its entry. */
async function remake(
  folder: string,
  id: string,
  readings: readonly string[],
  index: IndexWriter,
): Promise<FoundFacts<RoundFacts>> {
  try {
    const state = getRoundFileState(folder, id);
    const bytes = readRoundBytes(folder, id);
    const sha256 = createHash("sha256").update(bytes).digest("hex");
    const old = readEntry(folder, id, "all");
    const kept =
      typeof old === "object" && old.source.sha256 === sha256 ? toWhole(old.facts) : undefined;
    const facts = kept ?? formatFacts(await parseRound(folder, id, bytes));
    if (state !== undefined) index.write(id, { source: { ...state, sha256 }, facts });
    return { id, facts: parseFacts(facts, readings) };
  } catch (error) {
    if (!(error instanceof DeskroundError)) throw error;
    const { message, hint } = error;
    return { id, damaged: message, ...(hint === undefined ? {} : { hint }) };
  }
}

function toWhole({ head, rest }: FactsText): Required<FactsText> | undefined {
  return rest === undefined ? undefined : { head, rest };
}

/** Undefined if there is none, or one of another version of the program. */
function readEntry(
  folder: string,
  id: string,
  which: "head" | "all",
): FactsEntry | "spoilt" | undefined {
  try {
    const entry = withRegularFile(getEntryFile(folder, id), (read) => parseEntry(read, which));
    return entry === "other" ? undefined : entry;
  } catch (error) {
    return getErrorCode(error) === "ENOENT" ? undefined : "spoilt";
  }
}

const entryKind: OwnKind = {
  what: "index of a round",
  isOwn: (head) => head.toString("utf8").startsWith(entryStart),
};

interface IndexWriter {
  readonly write: (id: string, entry: WholeEntry) => void;
  /** Deletes entries whose round no longer exists. */
  readonly tidy: () => void;
}

/**
 * Stores entries. If the disk is full or read-only, nothing is lost: the facts are known, and the
 * next read only takes as long again.
 */
function createIndexWriter(folder: string): IndexWriter {
  const index = getIndexFolder(folder);
  let isWritable = true;
  return {
    write(id, entry) {
      if (!isWritable) return;
      try {
        // Never recursively: a desk's folder that is gone is not made again.
        if (!existsSync(index)) mkdirSync(index);
        writeFileAtomic(getEntryFile(folder, id), formatEntry(entry), entryKind);
      } catch {
        isWritable = false;
      }
    },
    tidy() {
      try {
        const known = new Set(listAllRounds(folder));
        for (const name of readdirSync(index)) {
          const id = name.replace(/\.checked$/, "");
          if (parseRoundId(id) !== undefined && !known.has(id)) rmSync(join(index, name));
        }
      } catch {
        // Left over, they do no harm.
      }
    },
  };
}

function getEntryFile(folder: string, id: string): string {
  return getIndexFolder(folder, id);
}
