import { existsSync, mkdirSync } from "node:fs";
import type { OwnKind } from "../../assert-own-file.js";
import { writeFileAtomic } from "../../write-file-atomic.js";
import type { RoundFileState } from "../round-file-state.js";
import { getIndexFolder } from "../rounds-folder.js";
import type { Round } from "../types.js";
import { checkedStart, formatChecked } from "./checked-round.js";
import { getCheckedFile } from "./read-checked.js";

const checkedKind: OwnKind = {
  what: "checked round",
  isOwn: (head) => head.toString("latin1").startsWith(checkedStart),
};

/**
 * Caches a round that was read and checked. If the disk is full or read-only, nothing is lost: the
 * next read only takes as long again.
 *
 * @param source the round's file as it was before it was read
 */
export function keepChecked(folder: string, source: RoundFileState, round: Round): void {
  try {
    const bytes = formatChecked(source, round);
    if (bytes === undefined) return;
    const index = getIndexFolder(folder);
    // Never recursively: a desk's folder that is gone is not made again.
    if (!existsSync(index)) mkdirSync(index);
    writeFileAtomic(getCheckedFile(folder, round.id), bytes, checkedKind);
  } catch {
    // The round was read anyway.
  }
}
