import { cpSync, mkdirSync, mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { migrate } from "../../src/history/migrate.js";
import { readRound } from "../../src/history/store.js";

const kept = fileURLToPath(new URL("kept/", import.meta.url));

describe("a round of an earlier version", () => {
  it("comes up step by step to the version that is wanted", () => {
    const steps = {
      1: (data: object) => ({ ...data, one: true }),
      2: (data: object) => ({ ...data, two: true }),
    };
    expect(migrate({ version: 1 }, 3, steps)).toEqual({ version: 3, one: true, two: true });
    expect(migrate({ version: 2 }, 3, steps)).toEqual({ version: 3, two: true });
    expect(migrate({ version: 3 }, 3, steps)).toEqual({ version: 3 });
  });

  it.each([[0], [-1], [1.5], ["1"], [undefined]])("is none when its version is %j", (version) => {
    expect(migrate({ version }, 2, { 1: (data) => ({ ...data }) })).toBeUndefined();
  });
});

describe("a kept round", () => {
  // Written by the program of its time, and never to be written anew.
  it.each([["2030-04-02-01"]])("%s is read as it was written", async (id) => {
    const folder = mkdtempSync(join(tmpdir(), "kept-"));
    mkdirSync(join(folder, "rounds"));
    cpSync(join(kept, `${id}.json`), join(folder, "rounds", `${id}.json`));
    const written = JSON.parse(readFileSync(join(kept, `${id}.json`), "utf8"));
    const round = await readRound(folder, id);
    expect(round).toEqual(written);
    expect(round.paths[0].readings.thd100.unit).toBe("dB");
  });

  it("with a version that never was is damaged, and says so", async () => {
    const folder = mkdtempSync(join(tmpdir(), "kept-"));
    mkdirSync(join(folder, "rounds"));
    const file = join(folder, "rounds", "2030-04-02-01.json");
    const text = readFileSync(join(kept, "2030-04-02-01.json"), "utf8");
    writeFileSync(file, text.replace('"version": 1,', '"version": 0,'));
    await expect(readRound(folder, "last")).rejects.toThrow("names no version that ever was (0)");
  });
});
