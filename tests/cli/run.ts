import { type ChildProcess, spawn, spawnSync } from "node:child_process";
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { ask, type Ran, type Surroundings } from "../helpers/program/ask.js";

export type { Ran };

export const launcher = fileURLToPath(new URL("../../bin/deskround.js", import.meta.url));

/**
 * Has the built program do a command line as a user would, in a process that stays for the next
 * one; see {@link runAlone}.
 */
export function run(...args: readonly string[]): Ran {
  return ask(args);
}

/** The same in another folder, or with other variables of the environment. */
export function runIn(where: Surroundings, ...args: readonly string[]): Ran {
  return ask(args, where);
}

/** The same in a process of its own: start, end and exit code are those that a user has. */
export function runAlone(...args: readonly string[]): Ran {
  const { status, stdout, stderr } = spawnSync(process.execPath, [launcher, ...args], {
    encoding: "utf8",
    cwd: tmpdir(),
    maxBuffer: 64 * 2 ** 20,
  });
  return { code: status, out: stdout, err: stderr };
}

/** Runs a line of shell with `deskround` standing for the program. */
export function runShell(line: string): Ran {
  const command = line.replaceAll("deskround", `"${process.execPath}" "${launcher}"`);
  const { status, stdout, stderr } = spawnSync("bash", ["-o", "pipefail", "-c", command], {
    encoding: "utf8",
  });
  return { code: status, out: stdout, err: stderr };
}

/** Starts the program and leaves it running. */
export function start(...args: readonly string[]): ChildProcess {
  return spawn(process.execPath, [launcher, ...args], { stdio: "ignore" });
}

export function newFolder(): string {
  return mkdtempSync(join(tmpdir(), "cli-"));
}
