import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
// @ts-expect-error: a script without types
import { isBuilt, noteBuilt } from "../scripts/built.mjs";

let root: string;
const write = (name: string, text: string) => writeFileSync(join(root, name), text);

beforeEach(() => {
  root = mkdtempSync(join(tmpdir(), "built-"));
  for (const folder of ["src/desk", "dist/desk", "program/.compiled"]) {
    mkdirSync(join(root, folder), { recursive: true });
  }
  write("package.json", "{}");
  write("src/desk/place.ts", "one");
  write("dist/desk/place.js", "one");
  write("program/main.js", "one");
});

afterEach(() => rmSync(root, { recursive: true }));

describe("what is built", () => {
  it("is of these sources once that was noted, whatever Node.js compiled since", () => {
    expect(isBuilt(root)).toBe(false);
    noteBuilt(root);
    expect(isBuilt(root)).toBe(true);
    write("program/.compiled/main.js.bin", "compiled");
    expect(isBuilt(root)).toBe(true);
  });

  it.each(["src/desk/place.ts", "dist/desk/place.js", "program/main.js", "package.json"])(
    "is not where %s is another, and is again where it was put back",
    (name) => {
      noteBuilt(root);
      write(name, "two");
      expect(isBuilt(root)).toBe(false);
      write(name, name === "package.json" ? "{}" : "one");
      expect(isBuilt(root)).toBe(true);
    },
  );

  it("is not where a source is new, is gone, or has another name", () => {
    noteBuilt(root);
    write("src/desk/more.ts", "");
    expect(isBuilt(root)).toBe(false);
    rmSync(join(root, "src/desk/more.ts"));
    rmSync(join(root, "src/desk/place.ts"));
    expect(isBuilt(root)).toBe(false);
    write("src/desk/places.ts", "one");
    expect(isBuilt(root)).toBe(false);
  });
});
