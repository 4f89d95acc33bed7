import { type Command, CommanderError } from "commander";
import { findClosestWord } from "../desk/paths.js";
import { getProgramName } from "../text/program-name.js";
import { formatCommandName, listCommandNames } from "./command-names.js";
import { examplesOf } from "./examples.js";
import { findWrittenPath, suggestCommand, suggestOption } from "./near-commands.js";

/**
 * Lines for a request that was not understood: what is wrong, what to do, and where to find more.
 * Messages of the command-line library are put into the form of every other error.
 *
 * @param args everything typed after the program's name
 */
export function formatUsageError(
  { code, message }: CommanderError,
  program: Command,
  args: readonly string[],
): readonly string[] {
  const command = findCommand(program, args);
  const name = formatCommandName(command);
  const [what = "", ...rest] = message.replace(/^error: /, "").split("\n");
  const library = rest.join(" ").replace(/^\((.*)\)$/, "$1");
  const help =
    command.parent === null
      ? `\`${getProgramName()} --help\` lists the commands.`
      : `\`${name} --help\` shows what it takes.`;
  const lines = (first: string, hint: string | undefined) => [
    first,
    ...(hint === undefined || hint === "" ? [] : [hint]),
    help,
  ];
  const given = listOperands(command, args);
  switch (code) {
    case "commander.unknownCommand": {
      const [word = ""] = given;
      const known = command.createHelp().visibleCommands(command);
      const of = command.parent === null ? undefined : command.name();
      return lines(
        `There is no command "${of === undefined ? "" : `${of} `}${word}".`,
        suggestCommand(
          [word, ...args.slice(args.indexOf(word) + 1)],
          known.map((one) => one.name()),
          of,
        ),
      );
    }
    case "commander.excessArguments":
      return lines(
        `\`${name}\` does not take "${given.slice(command.registeredArguments.length).join(" ")}".`,
        suggestForExcess(command, args, given),
      );
    case "commander.unknownOption": {
      const flag = /'(.*)'$/.exec(what)?.[1] ?? "";
      return lines(`\`${name}\` has no option ${flag}.`, suggestOption(flag) ?? library);
    }
    case "commander.missingArgument": {
      const missing = /'(.*)'/.exec(what)?.[1];
      const about = command.registeredArguments.find((one) => one.name() === missing);
      return [
        `\`${name}\` needs <${missing}>${about?.description ? `: ${about.description}` : ""}.`,
        withExample(command, help),
      ];
    }
    case "commander.optionMissingArgument": {
      const [, flag = "", value = "a value"] = /(--[\w-]+) (<.*>)/.exec(what) ?? [];
      return [`${flag} needs ${value}.`, withExample(command, help, flag)];
    }
    case "commander.missingMandatoryOptionValue": {
      const flag = /'(--[\w-]+)/.exec(what)?.[1] ?? "";
      const about = command.options.find(({ long }) => long === flag)?.description ?? "";
      return [`${flag} is missing: ${about}.`, withExample(command, help, flag)];
    }
    case "commander.invalidArgument": {
      const found =
        /^(?:option '[^']*?(--[\w-]+)[^']*'|command-argument) (?:argument|value) '(.*)' is invalid(?: for argument '(.*?)')?\. (.*)$/s.exec(
          what,
        );
      if (found === null) return lines(what, undefined);
      const [, flag, value, argument, why] = found;
      const [, hint, list] =
        /^(?:(Did you mean .*\?) )?Allowed choices are (.*)\.$/.exec(why) ?? [];
      const choices = list?.split(", ") ?? [];
      const like = findLikelyChoice(value, choices);
      const where = flag === undefined ? (argument ?? "").replace(/[[\]<>.]/g, "") : flag;
      if (choices.length > 0) {
        return lines(
          `${where} "${value}" is not one of ${choices.join(", ")}.`,
          hint ?? (like === undefined ? undefined : `Did you mean ${like}?`),
        );
      }
      return lines(`${flag === undefined ? "" : `${flag} `}${value}: ${why}`, undefined);
    }
    default:
      return lines(what, library);
  }
}

/**
 * The choice that a value probably means: mistyped, its end (`24` of `int24`), or its first
 * letters.
 */
function findLikelyChoice(value: string, choices: readonly string[]): string | undefined {
  const word = value.toLowerCase().replace(/(?<=^\d+)[ -]?bits?$/, "");
  const part = choices.filter(
    (choice) => word !== "" && (choice.endsWith(word) || choice.startsWith(word)),
  );
  if (part.length === 1) return part[0];
  // One number is not a typing error for another.
  return /^[\d.,]+$/.test(value) ? undefined : findClosestWord(word, choices);
}

/** The requested command, including subcommands. */
export function findCommand(program: Command, args: readonly string[]): Command {
  let command = program;
  for (const word of args) {
    if (word.startsWith("-")) continue;
    const next = command.commands.find((one) => one.name() === word);
    if (next === undefined) break;
    command = next;
  }
  return command;
}

/**
 * Catches an option whose value is missing before the next option, which the library would silently
 * take for the value.
 *
 * @throws CommanderError as for a missing value
 */
export function assertOptionValues(program: Command, args: readonly string[]): void {
  const { options } = findCommand(program, args);
  const find = (word = "") => options.find(({ long, short }) => word === long || word === short);
  args.forEach((word, k) => {
    const option = find(word);
    if (option?.required !== true || find(args[k + 1]) === undefined) return;
    throw new CommanderError(
      1,
      "commander.optionMissingArgument",
      `error: option '${option.flags}' argument missing`,
    );
  });
}

/** What was typed after the command and belongs to no option. */
function listOperands(command: Command, args: readonly string[]): readonly string[] {
  const path = [...listCommandNames(command)];
  const operands: string[] = [];
  for (let k = 0; k < args.length; k++) {
    const word = args[k];
    if (word.startsWith("-")) {
      // Only the intended command knows whether it takes a value.
      if (command.parent === null) break;
      const option = command.options.find(({ long, short }) => word === long || word === short);
      if (option?.required === true) k++;
      continue;
    }
    if (path[0] === word && operands.length === 0) path.shift();
    else operands.push(word);
  }
  return operands;
}

function suggestForExcess(
  command: Command,
  args: readonly string[],
  operands: readonly string[],
): string | undefined {
  // `--history strip 7`: words after an option that takes one.
  const at = args.findIndex((word, k) => {
    const option = command.options.find(({ long, short }) => word === long || word === short);
    const behind = args.slice(k + 2).findIndex((next) => next.startsWith("-"));
    return (option?.required || option?.optional) && args.length > k + 2 && behind !== 0;
  });
  if (at >= 0) {
    const end = args.findIndex((word, k) => k > at && word.startsWith("-"));
    const words = args.slice(at + 1, end < 0 ? undefined : end).join(" ");
    return `Put words that belong together in quotes: ${args[at]} "${words}"`;
  }
  if (command.name() === "compare" && operands.every((word) => /^\d{4}/.test(word))) {
    const [earlier, later] = [...operands].sort();
    return `Name the earlier one with --with: ${getProgramName()} compare ${later} --with ${earlier}`;
  }
  const path = findWrittenPath(operands) ?? findWrittenPath(operands.slice(1));
  if (path === undefined) return undefined;
  if (command.name() === "compare") {
    const round = operands.length > 1 && findWrittenPath([operands[0]]) === undefined;
    return `For example: ${getProgramName()} compare ${round ? `${operands[0]} ` : ""}--path ${path}`;
  }
  return `\`${getProgramName()} show ${path}\` shows it.`;
}

function withExample(command: Command, help: string, flag = ""): string {
  const example = examplesOf(command).find((one) => one.includes(flag));
  return example === undefined ? help : `For example: ${example}; ${help}`;
}
