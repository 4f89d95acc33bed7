import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { listAllRounds, listRounds, readRound, storeRound } from "../../src/history/store.js";
import { readWithdrawn, writeWithdrawn } from "../../src/history/withdrawn.js";
import { aRound } from "./a-round.js";

let folder: string;

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "withdrawn-"));
});

afterEach(() => rmSync(folder, { recursive: true, force: true }));

const one = { round: "2030-01-31-01", date: "2030-02-01T10:00:00+01:00", because: "muted" };

describe("rounds that do not count", () => {
  it("are absent where there is no list", () => {
    expect(readWithdrawn(folder).size).toBe(0);
    expect(listRounds(folder)).toEqual([]);
  });

  it("are left out of the rounds that count, and stay on disk", () => {
    storeRound(folder, aRound("2030-01-31"));
    storeRound(folder, aRound("2030-03-31"));
    expect(listRounds(folder)).toEqual(["2030-01-31-01", "2030-03-31-01"]);
    writeWithdrawn(folder, one);
    expect(listRounds(folder)).toEqual(["2030-03-31-01"]);
    expect(listAllRounds(folder)).toEqual(["2030-01-31-01", "2030-03-31-01"]);
    expect([...readWithdrawn(folder).values()]).toEqual([one]);
    writeWithdrawn(folder, one.round);
    expect(listRounds(folder)).toEqual(["2030-01-31-01", "2030-03-31-01"]);
  });

  it("are read where their id is named and all are asked for, and refused else", async () => {
    storeRound(folder, aRound("2030-01-31"));
    writeWithdrawn(folder, one);
    await expect(readRound(folder, one.round)).rejects.toThrow(/withdrawn/);
    expect((await readRound(folder, one.round, "all")).id).toBe(one.round);
  });

  it.each([
    ["is no JSON", "{"],
    ["is another file", JSON.stringify({ format: "shopping", version: 1, rounds: [] })],
    ["has no version", JSON.stringify({ format: "deskround-withdrawn", rounds: [] })],
    ["has no rounds", JSON.stringify({ format: "deskround-withdrawn", version: 1, rounds: 7 })],
    ...(["round", "date", "because"] as const).map((key) => [
      `has an entry whose ${key} is no text`,
      JSON.stringify({
        format: "deskround-withdrawn",
        version: 1,
        rounds: [one, { ...one, [key]: 7 }],
      }),
    ]),
    [
      "is of a later program",
      JSON.stringify({ format: "deskround-withdrawn", version: 2, rounds: [] }),
    ],
  ])("are refused where the list %s", (_, text) => {
    mkdirSync(join(folder, "rounds"));
    writeFileSync(join(folder, "rounds", "withdrawn.json"), text);
    expect(() => readWithdrawn(folder)).toThrow(/withdrawn\.json cannot be read/);
  });
});
