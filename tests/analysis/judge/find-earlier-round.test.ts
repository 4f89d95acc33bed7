import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { findEarlierRound } from "../../../src/analysis/judge/find-earlier-round.js";
import { readPreviousRound } from "../../../src/history/previous-round.js";
import { getRoundFile, storeRound } from "../../../src/history/store.js";
import type { Round } from "../../../src/history/types.js";
import { writeWithdrawn } from "../../../src/history/withdrawn.js";
import { aRound } from "../../history/a-round.js";

const store = (folder: string, day: string, more: Partial<Round> = {}) =>
  storeRound(folder, { ...aRound(day), ...more }).id;
const newFolder = () => mkdtempSync(join(tmpdir(), "earlier-"));

/** Both ways to last year's round: that which a fresh round is judged by, and that of its order. */
async function find(folder: string, day: string) {
  const head = aRound(day);
  const [one, other] = [
    await findEarlierRound(folder, head),
    await readPreviousRound(folder, day, head.desk),
  ];
  expect(one?.id).toBe(other?.id);
  return one?.id;
}

describe("last year's round", () => {
  it("is the last whole one of an earlier day", async () => {
    const folder = newFolder();
    expect(await find(folder, "2031-04-02")).toBeUndefined();
    const first = store(folder, "2029-04-02");
    const second = store(folder, "2030-04-02");
    expect(await find(folder, "2031-04-02")).toBe(second);
    expect(await find(folder, "2030-04-02")).toBe(first);
  });

  it("is none of the same day, no partial one, no withdrawn one and no damaged one", async () => {
    const folder = newFolder();
    const first = store(folder, "2030-04-02");
    store(folder, "2031-04-02");
    expect(await find(folder, "2031-04-02")).toBe(first);
    store(folder, "2031-05-02", { partial: { wanted: ["1/mic"] } });
    expect(await find(folder, "2031-06-02")).toBe("2031-04-02-01");
    const date = "2031-06-01T10:00:00+01:00";
    writeWithdrawn(folder, { round: "2031-04-02-01", date, because: "strip 3 was skipped" });
    expect(await find(folder, "2031-06-02")).toBe(first);
    const damaged = store(folder, "2031-05-20");
    writeFileSync(getRoundFile(folder, damaged), "{");
    expect(await find(folder, "2031-06-02")).toBe(first);
  });

  it("is of the same desk by its id, whatever its name was then", async () => {
    const folder = newFolder();
    const named = (id: string | undefined, name: string) => ({
      desk: { ...(id === undefined ? {} : { id }), name, mainsHz: 50 },
    });
    const old = store(folder, "2028-04-02", named(undefined, "The old name"));
    const own = store(folder, "2029-04-02", named("farrow-1234", "Another name"));
    store(folder, "2030-04-02", named("other-9999", "Big desk"));
    const head = { ...aRound("2031-04-02"), ...named("farrow-1234", "Big desk") };
    expect((await findEarlierRound(folder, head))?.id).toBe(own);
    expect((await readPreviousRound(folder, "2029-04-02", head.desk))?.id).toBe(old);
  });

  it("is compared with where signal and unit allow it", async () => {
    const folder = newFolder();
    store(folder, "2030-04-02");
    const head = aRound("2031-04-02");
    const other = { ...head, signal: { ...head.signal, profile: "quick" } };
    expect(await findEarlierRound(folder, other)).toBeUndefined();
    // For the order of play the other profile will do.
    expect(await readPreviousRound(folder, "2031-04-02", head.desk)).toBeDefined();
  });
});
