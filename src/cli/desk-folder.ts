import { existsSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import type { Command } from "commander";
import { deskFileName, getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { roundsFolderName } from "../history/rounds-folder.js";
import { getProgramName, nameDesk } from "../text/program-name.js";

/** Commands that create a desk rather than need one. */
const makers: readonly string[] = ["init", "demo", "completion", "complete"];

/**
 * Finds the desk that a command is about: `--desk`, else the one that `DESKROUND_DESK` names, else
 * the current folder or the nearest one above it that holds a desk file. Suggested commands name
 * the desk only after `--desk`: otherwise they find it in the same way.
 *
 * @throws DeskroundError `usage` for a folder that does not exist, or if no folder is a desk's
 */
export function settleDesk(command: Command): void {
  if (makers.includes(command.name())) return;
  const { desk }: { readonly desk?: unknown } = command.opts();
  if (typeof desk !== "string") return;
  if (command.getOptionValueSource("desk") === "cli") {
    requireFolder(desk, "--desk");
    requireNotebook(command, desk);
    nameDesk(desk);
    return;
  }
  const named = process.env.DESKROUND_DESK ?? "";
  if (named !== "") {
    requireFolder(named, "DESKROUND_DESK=");
    command.setOptionValueWithSource("desk", named, "env");
    return;
  }
  if (isDeskFolder(".")) return;
  const above = findDeskAbove(process.cwd());
  if (above === undefined) {
    throw new DeskroundError(
      "usage",
      `There is no desk here: no ${deskFileName} in this folder or above it.`,
      `Name the desk's folder with --desk, or make one: ${getProgramName()} init --desk mydesk`,
    );
  }
  command.setOptionValueWithSource("desk", above, "implied");
}

/** The same for a line that is still being typed, which may name a desk. */
export function settleDeskName(given: string | undefined): string {
  const named = process.env.DESKROUND_DESK ?? "";
  return given ?? (named === "" ? (findDeskAbove(process.cwd()) ?? ".") : named);
}

/** The nearest folder above that holds a desk file; undefined if this one may be a desk itself. */
export function findDeskAbove(folder: string): string | undefined {
  if (isDeskFolder(folder)) return undefined;
  let at = resolve(folder);
  while (at !== dirname(at)) {
    at = dirname(at);
    if (existsSync(join(at, deskFileName))) return at;
  }
  return undefined;
}

/** Whether a folder is a desk's; it may have lost its desk file but still hold rounds. */
function isDeskFolder(folder: string): boolean {
  return [roundsFolderName, deskFileName].some((name) => existsSync(join(folder, name)));
}

/**
 * In any other folder a list of notes would simply be empty, so a folder that is not a desk's is
 * refused.
 */
function requireNotebook(command: Command, desk: string): void {
  const folder = getDeskFolder(desk);
  const isAboutNotes = ["note", "opening", "stores"].includes(command.parent?.name() ?? "");
  if (!isAboutNotes || isDeskFolder(folder) || existsSync(join(folder, "notebook.jsonl"))) return;
  throw new DeskroundError(
    "usage",
    `--desk ${desk}: this is not a desk's folder: there is no ${deskFileName} in it.`,
    `Name the folder that holds desk.yaml, or make one: ${getProgramName()} init --desk FOLDER`,
  );
}

function requireFolder(folder: string, option: string): void {
  if (existsSync(folder)) return;
  throw new DeskroundError(
    "usage",
    `${option}${option.endsWith("=") ? "" : " "}${folder}: there is no such folder.`,
    `Name the folder that holds desk.yaml, or make one: ${getProgramName()} init --desk FOLDER`,
  );
}
