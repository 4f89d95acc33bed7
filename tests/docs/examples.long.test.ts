import { execFile } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { beforeAll, describe, expect, it } from "vitest";

// Expected values: the pages themselves; what they show was printed by the program.

const root = fileURLToPath(new URL("../..", import.meta.url));
const names = [
  "README.md",
  ...readdirSync(`${root}/docs`)
    .filter((name) => name.endsWith(".md"))
    .map((name) => `docs/${name}`),
];

interface Made {
  readonly name: string;
  readonly text: string;
  readonly ran: readonly {
    readonly line: number;
    readonly command: string;
    readonly expected: number;
    readonly code: number;
    readonly output: string;
  }[];
}

let made: readonly Made[];

beforeAll(async () => {
  const { stdout } = await promisify(execFile)(
    process.execPath,
    [`${root}/scripts/docs.mjs`, "--json"],
    { maxBuffer: 1e8 },
  );
  made = JSON.parse(stdout);
  // Some hundred command lines, and beside them other tests on two processors.
}, 900_000);

const madeOf = (name: string) => made.find((page) => page.name === name);

describe.each(names)("%s", (name) => {
  it("shows commands that end with the exit code it promises", () => {
    const surprises = madeOf(name)?.ran.filter(({ code, expected }) => code !== expected);
    expect(surprises).toEqual([]);
  });

  it("is as `npm run docs` makes it", () => {
    expect(readFileSync(`${root}/${name}`, "utf8")).toBe(madeOf(name)?.text);
  });
});

it("the pages run every step of a round", () => {
  const ran = made.flatMap((page) => page.ran.map(({ command }) => command)).join("\n");
  for (const command of ["init", "signal", "calibrate", "analyze", "show", "check"]) {
    expect(ran).toMatch(new RegExp(`(deskround|bin/deskround.js) ${command} `));
  }
});
