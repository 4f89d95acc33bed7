import {
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, it, vi } from "vitest";
import { writeFileAtomic } from "../src/write-file-atomic.js";

// A memory stick as systems mount it: link() answers EPERM (POSIX.1, link).
vi.mock("node:fs", async (original) => ({
  ...(await original<typeof import("node:fs")>()),
  linkSync: () => {
    throw Object.assign(new Error("EPERM: operation not permitted, link"), { code: "EPERM" });
  },
}));

const folder = mkdtempSync(join(tmpdir(), "linkless-"));
const file = join(folder, "round.json");

it("a disk without hard links takes a new file once, whole, and leaves no lock", () => {
  expect(writeFileAtomic(file, "first", "new")).toBe("written");
  expect(writeFileAtomic(file, "second", "new")).toBe("exists");
  expect(readFileSync(file, "utf8")).toBe("first");
  expect(readdirSync(folder)).toEqual(["round.json"]);
});

it("a lock that a crash has left is taken away, one of a program that runs is not", () => {
  const other = join(folder, "other.json");
  const lock = `${other}.lock`;
  // Of another computer and just made: it may be writing.
  writeFileSync(lock, "");
  expect(writeFileAtomic(other, "x", "new")).toBe("exists");
  expect(existsSync(other)).toBe(false);
  const hourAgo = Date.now() / 1000 - 3600;
  utimesSync(lock, hourAgo, hourAgo);
  expect(writeFileAtomic(other, "x", "new")).toBe("written");
  expect(existsSync(lock)).toBe(false);
});
