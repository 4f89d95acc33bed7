import { spawnSync } from "node:child_process";
import { mkdirSync, realpathSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, it } from "vitest";
import { createTriedDesk } from "./requests/desk.js";
import { launcher, newFolder, runIn } from "./run.js";

let desk: string;
beforeAll(() => {
  desk = createTriedDesk();
  mkdirSync(join(desk, "captures", "evening"), { recursive: true });
});

const ask = (cwd: string, args: readonly string[], named: string | null = null) =>
  runIn({ cwd, env: { DESKROUND_DESK: named } }, ...args);

/** The same in a process of its own, as a user starts it. */
function askAlone(cwd: string, args: readonly string[], named = "") {
  const { DESKROUND_DESK: _, ...others } = process.env;
  const env = named === "" ? others : { ...others, DESKROUND_DESK: named };
  const found = spawnSync(process.execPath, [launcher, ...args], { cwd, env, encoding: "utf8" });
  return { code: found.status, out: found.stdout, err: found.stderr };
}

it("the desk is found from a folder beneath it", () => {
  const { code, out } = askAlone(join(desk, "captures", "evening"), ["show", "7"]);
  expect(code).toBe(0);
  expect(out).toMatch(/^Strip 7 of Big desk/);
});

it("DESKROUND_DESK names it anywhere, and --desk goes before it", () => {
  const elsewhere = newFolder();
  expect(askAlone(elsewhere, ["show", "7"], desk).out).toMatch(/^Strip 7 of Big desk/);
  const { code, err } = ask(elsewhere, ["show", "--desk", "."], desk);
  expect(code).toBe(2);
  expect(err).toMatch(/^deskround: No round is stored in this folder\./);
});

it("each command in what is printed names the desk that --desk named, and no other", () => {
  const elsewhere = newFolder();
  const { out } = ask(elsewhere, ["plan", "--desk", desk]);
  const commands = out.replace(/\s+/g, " ").match(/deskround [a-z][^`]*/g) ?? [];
  expect(commands.length).toBeGreaterThan(1);
  for (const command of commands) expect(command).toContain(`--desk ${desk}`);
  expect(ask(elsewhere, ["plan"], desk).out).not.toContain("--desk");
});

it("a folder that is not a desk's is said to be that by every command", () => {
  for (const command of [["show"], ["note", "list"], ["stores", "list"], ["plan"], ["signal"]]) {
    const { code, out, err } = ask(newFolder(), command);
    expect([code, out]).toEqual([2, ""]);
    expect(err).toMatch(
      /^deskround: There is no desk here: .*\n {2}Name the desk's folder with --desk/,
    );
  }
  const named = newFolder();
  const { code, err } = ask(newFolder(), ["note", "list", "--desk", named]);
  expect(code).toBe(2);
  expect(err).toContain(`deskround: --desk ${named}: this is not a desk's folder`);
});

it("a folder that there is not is said to be that, by the name it was given with", () => {
  const elsewhere = realpathSync(newFolder());
  expect(ask(elsewhere, ["plan"], "gone").err).toMatch(/^deskround: DESKROUND_DESK=gone: there/);
  expect(ask(elsewhere, ["plan", "--desk", "gone"]).err).toMatch(/^deskround: --desk gone: there/);
});

it("a new desk is made where one stands, whatever lies above", () => {
  const { code, err } = ask(join(desk, "captures"), ["init", "--strips", "4"]);
  expect(code).toBe(0);
  expect(err).toMatch(/^Wrote desk\.yaml/);
});
