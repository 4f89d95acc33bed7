import { spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from "node:fs";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import type { OwnKind } from "../src/assert-own-file.js";
import { writeFileAtomic } from "../src/write-file-atomic.js";

const anything: OwnKind = { what: "text", isOwn: () => true };
const folder = mkdtempSync(join(tmpdir(), "whole-"));

describe("writing a file whole", () => {
  it("makes the folder and leaves nothing beside the file", () => {
    const file = join(folder, "a", "b", "c.txt");
    expect(writeFileAtomic(file, "one", "new")).toBe("written");
    expect(readFileSync(file, "utf8")).toBe("one");
    expect(readdirSync(join(folder, "a", "b"))).toEqual(["c.txt"]);
  });

  it("does not touch a file that exists when it should be new", () => {
    const file = join(folder, "kept.txt");
    writeFileSync(file, "mine");
    expect(writeFileAtomic(file, "yours", "new")).toBe("exists");
    expect(readFileSync(file, "utf8")).toBe("mine");
    expect(readdirSync(folder).filter((name) => name.endsWith(".tmp"))).toEqual([]);
  });

  it("follows a link when it replaces, so that the link stays one", () => {
    const [file, link] = [join(folder, "target.txt"), join(folder, "link.txt")];
    writeFileSync(file, "old");
    symlinkSync(file, link);
    writeFileAtomic(link, "new", anything);
    expect(readFileSync(file, "utf8")).toBe("new");
  });

  it.each([
    ["new", "new"],
    ["replace", anything],
  ] as const)("refuses what is no regular file, %s or not", (word, mode) => {
    const name = join(folder, `folder-${word}`);
    mkdirSync(name);
    expect(() => writeFileAtomic(name, "x", mode)).toThrow(
      `Cannot write ${name}: it is not a regular file.`,
    );
    expect(existsSync(name)).toBe(true);
  });

  it("names the file and the reason when the folder cannot be made", () => {
    const file = join(folder, "kept.txt", "below", "x.txt");
    expect(() => writeFileAtomic(file, "x", "new")).toThrow(
      `Cannot write ${file}: a part of its folder is a file.`,
    );
  });

  it("takes away what a killed program left an hour ago, and nothing else", () => {
    const own = mkdtempSync(join(tmpdir(), "leftovers-"));
    const names = [".a.json.0123456789ab.tmp", ".b.json.ba9876543210.tmp", ".mine.tmp", "c.tmp"];
    for (const name of names) writeFileSync(join(own, name), "half");
    const old = new Date(Date.now() - 3_600_000);
    for (const name of names.filter((one) => !one.startsWith(".b")))
      utimesSync(join(own, name), old, old);
    writeFileAtomic(join(own, "x.json"), "{}", "new");
    expect(readdirSync(own).sort()).toEqual([
      ".b.json.ba9876543210.tmp",
      ".mine.tmp",
      "c.tmp",
      "x.json",
    ]);
  });

  it("takes away at once what a program of this computer left that runs no more", () => {
    const own = mkdtempSync(join(tmpdir(), "leftovers-"));
    const here = createHash("sha256").update(hostname()).digest("hex").slice(0, 6);
    const there = here === "abcdef" ? "fedcba" : "abcdef";
    const { pid: gone } = spawnSync("true");
    const [dead, alive, other] = [
      `.a.json.${here}123456-${gone}.tmp`,
      `.b.json.${here}123456-${process.pid}.tmp`,
      `.c.json.${there}123456-${gone}.tmp`,
    ];
    for (const name of [dead, alive, other]) writeFileSync(join(own, name), "half");
    writeFileAtomic(join(own, "x.json"), "{}", "new");
    expect(readdirSync(own).sort()).toEqual([alive, other, "x.json"].sort());
  });
});
