import type { Command } from "commander";
import { getProgramName } from "../text/program-name.js";

/** A command's name after those of its parents, without the program's own. */
export function listCommandNames(command: Command): readonly string[] {
  return command.parent ? [...listCommandNames(command.parent), command.name()] : [];
}

/** A command as it is typed here: `deskround note add`. */
export function formatCommandName(command: Command): string {
  return [getProgramName(), ...listCommandNames(command)].join(" ");
}
