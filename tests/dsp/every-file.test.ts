import { readdirSync } from "node:fs";
import { expect, it } from "vitest";

it("every file of dsp has a test of its own", () => {
  const names = (folder: string, ending: string) =>
    readdirSync(new URL(folder, import.meta.url))
      .filter((name) => name.endsWith(ending))
      .map((name) => name.slice(0, -ending.length));
  // The index only names what the others export; tests/library tries it.
  const tried = ["index", ...names(".", ".test.ts")];
  expect(names("../../src/dsp/", ".ts").filter((name) => !tried.includes(name))).toEqual([]);
});
