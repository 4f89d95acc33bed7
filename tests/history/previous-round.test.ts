import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { readPreviousRound } from "../../src/history/previous-round.js";
import { readRoundUnlessDamaged } from "../../src/history/read-round-unless-damaged.js";
import { getRoundFile, storeRound } from "../../src/history/store.js";
import type { Round } from "../../src/history/types.js";
import { aRound } from "./a-round.js";

// Expected: the last whole round of an earlier day, of the same desk, that can be read.

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "previous-"));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const store = (day: string, more: Partial<Round> = {}) =>
  storeRound(folder, { ...aRound(day, ["1/mic"]), ...more }).id;
const damage = (id: string) => writeFileSync(getRoundFile(folder, id), "{");
const desk = { id: "big", name: "Big desk" };

describe("the round before", () => {
  it("is the last of an earlier day, whatever came on the day and after", async () => {
    for (const day of ["2030-01-31", "2030-02-28", "2030-03-14", "2030-04-01"]) store(day);
    const idBefore = async (day: string) => (await readPreviousRound(folder, day, desk))?.id;
    expect(await idBefore("2030-03-14")).toBe("2030-02-28-01");
    expect(await idBefore("2030-03-15")).toBe("2030-03-14-01");
    expect(await idBefore("2030-01-31")).toBeUndefined();
  });

  it("is whole, of the same desk, and not damaged", async () => {
    store("2030-01-31", { desk: { ...desk, mainsHz: 50 } });
    store("2030-02-01", { desk: { ...desk, mainsHz: 50 }, partial: { wanted: ["1/mic"] } });
    store("2030-02-02", { desk: { id: "small", name: "Small desk", mainsHz: 50 } });
    damage(store("2030-02-03", { desk: { ...desk, mainsHz: 50 } }));
    expect((await readPreviousRound(folder, "2030-03-14", desk))?.id).toBe("2030-01-31-01");
  });
});

it("a round that is damaged is none, and one that is not is read", async () => {
  const [good, bad] = [store("2030-01-31"), store("2030-02-01")];
  damage(bad);
  expect((await readRoundUnlessDamaged(folder, good))?.id).toBe(good);
  expect(await readRoundUnlessDamaged(folder, bad)).toBeUndefined();
  // What is no fault of the file's is not passed over.
  await expect(readRoundUnlessDamaged(folder, null as never)).rejects.toThrow(TypeError);
});
