import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { setTimeout } from "node:timers/promises";
import { beforeAll, describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { readRound, storeRound } from "../../src/history/store.js";
import { aRound } from "../history/a-round.js";
import { launcher } from "./run.js";

// Counts what a start reads, not how long it takes: another machine, the same numbers.

const desk = mkdtempSync(join(tmpdir(), "start-up-"));
writeFileSync(
  join(desk, "desk.yaml"),
  formatStarterDesk({ name: "Desk", strips: "2", inputs: ["mic"], mainsHz: 50 }),
);
const rounds = 12;
for (let k = 0; k < rounds; k++) storeRound(desk, aLargeRound(`${2030 + k}-01-31`));

/** Large enough to be kept as it was checked. */
function aLargeRound(day: string) {
  const round = aRound(day);
  const x = Array.from({ length: 20_000 }, (_, k) => 20 + k);
  const response = { x, y: x.map(() => 0), uncertainty: x.map(() => 0.1), xUnit: "Hz" as const };
  const curves = { response: { ...response, yUnit: "dB" } };
  return { ...round, paths: round.paths.map((path) => ({ ...path, curves })) };
}

/** Tells on a channel of its own which files were read, with their sizes. */
const recorder = join(desk, "recorder.cjs");
writeFileSync(
  recorder,
  `const fs = require("node:fs");
const { readFileSync, readSync, openSync } = fs;
const sizes = [];
fs.readFileSync = (file, ...rest) => {
  const read = readFileSync(file, ...rest);
  if (typeof file === "string") sizes.push([file, read.length]);
  return read;
};
fs.openSync = (file, ...rest) => {
  const handle = openSync(file, ...rest);
  sizes.push([String(file), 0]);
  return handle;
};
process.on("exit", () => fs.writeSync(3, JSON.stringify(sizes)));
`,
);

function readBy(...args: readonly string[]) {
  const { output, status } = spawnSync(process.execPath, ["-r", recorder, launcher, ...args], {
    encoding: "utf8",
    stdio: ["ignore", "pipe", "pipe", "pipe"],
  });
  expect(status, output[2]?.toString()).not.toBe(2);
  const files = JSON.parse(output[3] ?? "[]") as [string, number][];
  const modules = files.filter(([name]) => /[/\\]program[/\\][^/\\]+\.js$/.test(name));
  return {
    kilobytes: Math.round(modules.reduce((sum, [, size]) => sum + size, 0) / 1000),
    rounds: new Set(files.filter(([name]) => /rounds[/\\][\d-]+\.json/.test(name)).map(String))
      .size,
    libraries: files.filter(([name]) => name.includes("node_modules")),
  };
}

const show = ["show", "--desk", desk];
const check = ["check", "--desk", desk];
const plan = ["plan", "--desk", desk, "--date", "2042-03-14"];
const compare = ["compare", "--desk", desk];

// What it was when this was written, with a little to spare.
describe("a start reads the rounds that it shows, no library, and of the program no more than", () => {
  it.each<[string, number, string[], number]>([
    ["its version and the list of commands", 265, ["--version"], 0],
    ["a round and its words", 1325, show, 1],
    ["a round and limits", 1125, check, 1],
    ["a round and the plan", 1590, plan, 1],
    ["two rounds and how they compare", 880, compare, 2],
  ])("%s: %i KB", (_, most, args, wanted) => {
    rmSync(join(desk, "rounds", ".index"), { recursive: true, force: true });
    const { kilobytes, libraries, rounds: read } = readBy(...args);
    expect(libraries).toEqual([]);
    expect(read).toBe(wanted);
    expect(kilobytes).toBeLessThanOrEqual(most);
  });
});

describe("of a round that was kept as checked, as the desk file was, a start reads", () => {
  beforeAll(() => {
    readBy(...plan);
  });

  it.each<[string, number, string[]]>([
    ["the words for it", 860, show],
    ["the limits", 930, check],
    ["the plan", 1120, plan],
    ["how two compare, without the schema of rounds", 660, compare],
  ])("no file, and of the program %s: %i KB", async (_, most, args) => {
    const file = (id: string) => join(desk, "rounds", id);
    for (const id of ["2040-01-31-01", "2041-01-31-01"]) {
      // Nothing is kept of a file that was written within the last two seconds.
      await setTimeout(Math.max(0, statSync(file(`${id}.json`)).ctimeMs + 2100 - Date.now()));
      await readRound(desk, id);
      expect(existsSync(file(`.index/${id}.checked`))).toBe(true);
    }
    const { kilobytes, rounds: read } = readBy(...args);
    expect(read).toBe(0);
    expect(kilobytes).toBeLessThanOrEqual(most);
  });
});
