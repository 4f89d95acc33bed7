import { execFileSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { readMap } from "../src/analysis/place/read-map.js";
import { readDesk } from "../src/desk/read/read-desk.js";
import { readCalibration } from "../src/history/calibration.js";
import { readWithdrawn } from "../src/history/withdrawn.js";
import { readRegularFile } from "../src/read-regular-file.js";
import { readImportedNotes } from "../src/service/notebook/import.js";
import { readNotebook } from "../src/service/notebook/read.js";
import { readTextFile } from "../src/text-file.js";

const folder = mkdtempSync(join(tmpdir(), "regular-"));
const pipe = join(folder, "pipe");
execFileSync("mkfifo", [pipe]);

describe("readRegularFile", () => {
  it("reads a file up to the size that is allowed", () => {
    const file = join(folder, "text");
    writeFileSync(file, "0123456789");
    expect(readRegularFile(file, 10).toString()).toBe("0123456789");
    expect(() => readRegularFile(file, 9)).toThrow("it is too large");
  });

  it("reads files that do not say how long they are", () => {
    // The kernel's list of file systems: a few hundred bytes, though its size is said to be 0.
    expect(readRegularFile("/proc/filesystems", 1_000_000).toString()).toContain("proc");
    expect(() => readRegularFile("/proc/filesystems", 10)).toThrow("it is too large");
  });

  it.each([pipe, "/dev/zero", "/dev/stdin", folder])("does not wait for %s", (file) => {
    expect(() => readRegularFile(file, 1000)).toThrow();
  });
});

describe.each([
  ["pipe", (name: string) => execFileSync("mkfifo", [name])],
  ["device", (name: string) => execFileSync("ln", ["-s", "/dev/zero", name])],
] as const)("a %s", (_, make) => {
  const place = mkdtempSync(join(tmpdir(), "odd-"));
  for (const name of ["desk.yaml", "notebook.jsonl", "calibration.json", "map", "notes.txt"]) {
    make(join(place, name));
  }
  execFileSync("mkdir", [join(place, "rounds")]);
  make(join(place, "rounds", "withdrawn.json"));
  const limits = { code: "limits-file", what: "limits file", without: "" } as const;

  it.each<[string, () => unknown]>([
    ["desk file", () => readDesk(place)],
    ["desk file named itself", () => readDesk(join(place, "desk.yaml"))],
    ["limits file", () => readTextFile(join(place, "map"), limits)],
    ["map", () => readMap(join(place, "map"), [])],
    ["notebook", () => readNotebook(place)],
    ["calibration", () => readCalibration(place)],
    ["list of withdrawn rounds", () => readWithdrawn(place)],
    ["file of notes", () => readImportedNotes(join(place, "notes.txt"), {} as never)],
  ])("is refused as a %s at once", async (__, read) => {
    const start = Date.now();
    await expect((async () => read())()).rejects.toMatchObject({ name: "DeskroundError" });
    // One that is waited for waits for ever.
    expect(Date.now() - start).toBeLessThan(20_000);
  });
});
