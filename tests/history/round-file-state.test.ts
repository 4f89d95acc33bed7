import { mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import {
  getRoundFileState,
  isSettled,
  isUntouched,
  type RoundFileState,
} from "../../src/history/round-file-state.js";
import { getRoundFile, storeRound } from "../../src/history/store.js";
import { aRound } from "./a-round.js";

let folder: string;
let id: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "state-"));
  ({ id } = storeRound(folder, aRound("2030-01-31", [])));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

/** As it is now, looked at long after it was written. */
function settled(): RoundFileState {
  const state = getRoundFileState(folder, id);
  if (state === undefined) throw new Error("no file");
  return { ...state, seenNs: String(BigInt(state.ctimeNs) + 3_000_000_000n) };
}

describe("the state of a round's file", () => {
  it("is what the file system says, and when it was asked, in nanoseconds", () => {
    const { size, mtimeNs, ctimeNs, ino } = statSync(getRoundFile(folder, id), { bigint: true });
    const before = BigInt(Date.now());
    const state = getRoundFileState(folder, id);
    expect(state).toMatchObject({
      size: Number(size),
      mtimeNs: String(mtimeNs),
      ctimeNs: String(ctimeNs),
      inode: String(ino),
    });
    // A millisecond is a million nanoseconds.
    const seen = BigInt(state?.seenNs ?? 0) / 1_000_000n;
    expect(seen >= before && seen <= BigInt(Date.now())).toBe(true);
    expect(getRoundFileState(folder, "2030-01-31-02")).toBeUndefined();
  });

  it("is settled more than two seconds after the last change", () => {
    const at = (ns: bigint) => isSettled({ ...settled(), ctimeNs: "1000", seenNs: String(ns) });
    expect(at(2_000_001_000n)).toBe(false);
    expect(at(2_000_001_001n)).toBe(true);
    expect(at(1000n)).toBe(false);
  });

  it("is untouched where it was settled, and size, times and number are the same", () => {
    const state = settled();
    expect(isUntouched(folder, id, state)).toBe(true);
    expect(isUntouched(folder, id, { ...state, seenNs: state.ctimeNs })).toBe(false);
    expect(isUntouched(folder, id, { ...state, size: state.size + 1 })).toBe(false);
    for (const key of ["mtimeNs", "ctimeNs", "inode"] as const) {
      expect(isUntouched(folder, id, { ...state, [key]: "7" }), key).toBe(false);
    }
    writeFileSync(getRoundFile(folder, id), "");
    expect(isUntouched(folder, id, state)).toBe(false);
    expect(isUntouched(folder, "2030-01-31-02", state)).toBe(false);
  });
});
