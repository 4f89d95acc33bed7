import { spawnSync } from "node:child_process";
import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { formatStarterDesk } from "../../src/desk/starter.js";
import { storeRound } from "../../src/history/store.js";
import { aRound } from "../history/a-round.js";
import { launcher } from "./run.js";

// Counts what a start reads, not how long it takes: another machine, the same numbers.

const desk = mkdtempSync(join(tmpdir(), "start-up-"));
writeFileSync(
  join(desk, "desk.yaml"),
  formatStarterDesk({ name: "Desk", strips: "2", inputs: ["mic"], mainsHz: 50 }),
);
const rounds = 12;
for (let k = 0; k < rounds; k++) storeRound(desk, aRound(`${2030 + k}-01-31`));

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

describe("a start reads the rounds that it shows, no library, and of the program no more than", () => {
  // What it was when this was written, with a little to spare.
  it.each<[string, number, string[], number]>([
    ["its version and the list of commands", 265, ["--version"], 0],
    ["a round and its words", 1325, ["show", "--desk", desk], 1],
    ["a round and limits", 1150, ["check", "--desk", desk], 1],
    ["a round and the plan", 1575, ["plan", "--desk", desk, "--date", "2042-03-14"], 1],
    ["two rounds and how they compare", 870, ["compare", "--desk", desk], 2],
  ])("%s: %i KB", (_, most, args, wanted) => {
    const { kilobytes, libraries, rounds: read } = readBy(...args);
    expect(libraries).toEqual([]);
    expect(read).toBe(wanted);
    expect(kilobytes).toBeLessThanOrEqual(most);
  });
});
