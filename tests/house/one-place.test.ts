import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const source = fileURLToPath(new URL("../../src/", import.meta.url));
const files = readdirSync(source, { recursive: true, encoding: "utf8" }).filter((name) =>
  name.endsWith(".ts"),
);

/** What is written once, the file that holds it, and how it would look where it was written again. */
const places: readonly (readonly [what: string, file: string, again: RegExp])[] = [
  ["a large first letter", "text/capitalize.ts", /\.charAt\(0\)\.toUpperCase\(\)/],
  [
    "white space taken together",
    "text/collapse-space.ts",
    /\.replace\(\/\\s\+\/gu?, " "\)\.trim\(\)/,
  ],
  ["signs that cannot be seen", "text/unseen.ts", /\\p\{Cc\}/],
  ["the folder of rounds", "history/rounds-folder.ts", /join\([^)\n]*"rounds"/],
  ["entities of markup", "report/escape.ts", /&quot;/],
];

describe("what is written in one place", () => {
  it.each(places)("is %s", (_, file, again) => {
    const found = files.filter(
      (name) => name !== file && again.test(readFileSync(join(source, name), "utf8")),
    );
    expect(found).toEqual([]);
  });
});
