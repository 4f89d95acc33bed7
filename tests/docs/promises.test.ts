import { existsSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../..", import.meta.url));
const read = (name: string) => readFileSync(join(root, name), "utf8");

interface Named {
  readonly number: string;
  readonly file: string;
  readonly title: string;
}

/** The tests that a page lists: a number, the file between backquotes, and the title. */
function listTests(page: string): readonly Named[] {
  const [, list = ""] = page.split(/^## The tests$/m);
  return Array.from(
    list.matchAll(/^(\d+)\. `([^`]+)`:\n((?: +.+\n)+)/gm),
    ([, number, file, title]) => ({ number, file, title: title.trim().replace(/\s+/g, " ") }),
  );
}

/** What is wrong with a test that a page names; undefined where nothing is. */
function findFault({ file, title }: Named): string | undefined {
  if (!existsSync(join(root, file))) return `${file} does not exist`;
  const quoted = JSON.stringify(title);
  const parts = read(file).split(quoted);
  // As in `it("…", ` or, behind a table of cases, `])("…", `.
  const isTitle = parts
    .slice(1)
    .some((after, k) => after.startsWith(",") && /(\b(it|test|describe)|\))\(\s*$/.test(parts[k]));
  return isTitle ? undefined : `${file} has no test ${quoted}`;
}

describe("docs/promises.md", () => {
  const page = read("docs/promises.md");
  const tests = listTests(page);
  const rows = Array.from(page.matchAll(/^\|(.+)\|$/gm), ([, row]) =>
    row.split("|").map((cell) => cell.trim()),
  ).slice(2);

  it("names tests that exist", () => {
    expect(tests.length).toBeGreaterThan(0);
    expect(tests.map(({ number }) => number)).toEqual(tests.map((_, k) => `${k + 1}`));
    expect(tests.flatMap((one) => findFault(one) ?? [])).toEqual([]);
  });

  it("is not content with a file or a title that is not there", () => {
    const [one] = tests;
    expect(findFault({ ...one, file: "tests/none.test.ts" })).toContain("does not exist");
    expect(findFault({ ...one, title: one.title.slice(1) })).toContain("has no test");
    // A text within a test is no title.
    const text = "a.json.0123456789ab.tmp";
    expect(findFault({ ...one, file: "tests/write-file-atomic.test.ts", title: text })).toContain(
      "has no test",
    );
  });

  it("has a test for each promise, or says that there is none, and leaves no test unnamed", () => {
    expect(rows.length).toBeGreaterThan(0);
    const known = new Set(tests.map(({ number }) => number));
    for (const [what, , shownBy] of rows) {
      if (shownBy === "not tested") continue;
      expect(shownBy, what).toMatch(/^\d+( \d+)*$/);
      for (const number of shownBy.split(" ")) expect(known, what).toContain(number);
    }
    const inText = Array.from(page.matchAll(/tests? (\d+)(?: and (\d+))?/g), (found) =>
      found.slice(1),
    );
    const used = new Set([...rows.flatMap((row) => row[2].split(" ")), ...inText.flat()]);
    expect([...known].filter((number) => !used.has(number))).toEqual([]);
  });
});

describe("DEVELOPERS.md", () => {
  it("lists every package that is installed, with its licence, and no other", () => {
    const { dependencies } = JSON.parse(read("package.json"));
    const [, section = ""] = read("DEVELOPERS.md").split(/^## What is installed and why$/m);
    const lines = Array.from(
      section.split(/^## /m)[0].matchAll(/^- `([^`]+)`: ((?:.+\n)(?: {2}.+\n)*)/gm),
      ([, name, text]) => [name, text.replace(/\s+/g, " ")],
    );
    expect(lines.map(([name]) => name).sort()).toEqual(Object.keys(dependencies).sort());
    for (const [name, text] of lines) {
      const { license } = JSON.parse(read(`node_modules/${name}/package.json`));
      expect(text, name).toContain(`${license}, `);
      expect(text, name).toMatch(/\d MB/);
    }
  });
});
