import { existsSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import type { Command } from "commander";
import { deskFileName, getDeskFolder } from "../desk/desk-file.js";
import { DeskroundError } from "../errors.js";
import { roundsFolderName } from "../history/rounds-folder.js";
import { getProgramName, nameDesk } from "../text/program-name.js";

/** Commands that make a desk rather than need one. */
const makers: readonly string[] = ["init", "demo", "completion", "complete"];

/**
 * Settles which desk a command is about: `--desk`, else the one that `DESKROUND_DESK` names, else
 * the folder one stands in or the nearest above it that holds a desk file. Commands in sentences name
 * the desk only after `--desk`: they find the others as this one did.
 *
 * @throws DeskroundError `usage` for a folder that there is not, and where no folder is a desk's
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
      `No desk is here: there is no ${deskFileName} in this folder or above it.`,
      `Name the desk's folder with --desk, or make one: ${getProgramName()} init --desk mydesk`,
    );
  }
  command.setOptionValueWithSource("desk", above, "implied");
}

/** The same for a line that is still being typed: the desk that it names, if it does. */
export function settleDeskName(given: string | undefined): string {
  const named = process.env.DESKROUND_DESK ?? "";
  return given ?? (named === "" ? (findDeskAbove(process.cwd()) ?? ".") : named);
}

/** The nearest folder above that holds a desk file; undefined where this one may be a desk itself. */
export function findDeskAbove(folder: string): string | undefined {
  if (isDeskFolder(folder)) return undefined;
  let at = resolve(folder);
  while (at !== dirname(at)) {
    at = dirname(at);
    if (existsSync(join(at, deskFileName))) return at;
  }
  return undefined;
}

/** Whether a folder is a desk's: it may have lost its desk file and still hold rounds. */
function isDeskFolder(folder: string): boolean {
  return [roundsFolderName, deskFileName].some((name) => existsSync(join(folder, name)));
}

/** A list of what is noted would be empty in any folder: one that is no desk's is said to be that. */
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
