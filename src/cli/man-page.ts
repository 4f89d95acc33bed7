import type { Command } from "commander";
import { capitalize } from "../text/capitalize.js";
import { toolVersion } from "../version.js";
import { formatCommandName } from "./command-names.js";
import { examplesOf } from "./examples.js";

/**
 * The man page of a command line and all its subcommands, made from their `--help`, with the macros
 * of man(7).
 */
export function renderManPage(program: Command): string {
  const help = program.createHelp();
  const own = listCommands(program).flatMap((command) => [
    `.SS "${escapeArgument(formatCommandName(command))} ${escapeArgument(command.usage())}"`,
    escapeText(capitalize(help.commandDescription(command))),
    ...help
      .visibleArguments(command)
      .flatMap((argument) => [
        ".TP",
        `.I ${escapeArgument(argument.name())}`,
        escapeText(help.argumentDescription(argument)),
      ]),
    ...help
      .visibleOptions(command)
      .flatMap((option) => [
        ".TP",
        `.B ${escapeArgument(help.optionTerm(option))}`,
        escapeText(help.optionDescription(option)),
      ]),
    ...examplesOf(command).flatMap((example) => [".PP", ".EX", escapeText(example), ".EE"]),
  ]);
  return [
    `.TH DESKROUND 1 "" "deskround ${toolVersion}" "User commands"`,
    ".SH NAME",
    "deskround \\- find the faulty strips of a mixing desk before it is opened",
    ".SH SYNOPSIS",
    ".B deskround",
    "\\fIcommand\\fR [\\fIoptions\\fR] [\\fIarguments\\fR]",
    ".SH DESCRIPTION",
    escapeText(help.commandDescription(program)),
    "A path is written as strip and input: 7/mic, but 7mic, mic 7 and strip 7 are understood too.",
    ".SH COMMANDS",
    ...own,
    ".SH ENVIRONMENT",
    ".TP",
    ".B DESKROUND_DESK",
    "The desk's folder, if \\fB\\-\\-desk\\fR does not name one. Without either it is the current folder, or the nearest one above it that holds desk.yaml.",
    ".TP",
    ".B DESKROUND_WHO",
    "Who makes a note, if \\fB\\-\\-who\\fR does not say.",
    ".TP",
    ".B DESKROUND_FUTURE",
    "If set to yes, days in the future are accepted, as with \\fB\\-\\-future\\fR.",
    ".TP",
    ".B DESKROUND_COMMAND",
    "The name of the program in the commands that messages suggest. By default it is the one with which it was started.",
    ".TP",
    ".B NO_COLOR",
    "If set to anything, output has no colours.",
    ".SH EXIT STATUS",
    ...[
      ["0", "done; for check, every strip passes"],
      ["1", "check found a strip that fails, or the desk should not be closed"],
      ["2", "a request or input is unusable; stderr says what, where, what to do"],
      ["3", "done but incomplete: paths or rounds are missing or unusable"],
    ].flatMap(([code, meaning]) => [".TP", `.B ${code}`, meaning]),
    "",
  ].join("\n");
}

/** Commands that do something, in the order of `--help`. */
function listCommands(command: Command): readonly Command[] {
  return command
    .createHelp()
    .visibleCommands(command)
    .filter((one) => one.name() !== "help")
    .flatMap((one) => (one.commands.length > 0 ? listCommands(one) : [one]));
}

/** A text in an argument of a macro. */
function escapeArgument(text: string): string {
  return text.replace(/\\/g, "\\e").replace(/-/g, "\\-").replace(/"/g, "\\(dq");
}

/** A line of text that does not start like a request. */
function escapeText(text: string): string {
  return text
    .replace(/\\/g, "\\e")
    .replace(/-/g, "\\-")
    .replace(/^([.'])/, "\\&$1");
}
