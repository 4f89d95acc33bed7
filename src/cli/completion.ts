import { Argument, type Command, type Option } from "commander";
import type { Completion, DeskWords } from "../jobs/complete.js";
import { getProgramName } from "../text/program-name.js";
import { settleDeskName } from "./desk-folder.js";
import { printResult } from "./output.js";
import { type Shell, shellScripts } from "./shell-scripts.js";

/** The command `completion`. */
export function addCompletion(program: Command): void {
  program
    .command("completion")
    .description("print the script that lets a shell complete commands, strips and rounds")
    .addArgument(new Argument("<shell>", "the shell to set up").choices(Object.keys(shellScripts)))
    .addHelpText("after", setUpHelp)
    .action((shell: Shell) => printResult(shellScripts[shell]));
  program
    .command("complete", { hidden: true })
    .description("list what can come next on the command line")
    .argument("[words...]")
    .action(async (words: string[]) => {
      const lines = await listNextWords(program, words);
      if (lines.length > 0) printResult(lines.join("\n"));
    });
}

const setUpHelp = `
For every new shell, add one line to its start-up file:
  ~/.bashrc                    source <(${getProgramName()} completion bash)
  ~/.zshrc, after compinit     source <(${getProgramName()} completion zsh)
  ~/.config/fish/config.fish   ${getProgramName()} completion fish | source`;

/** The words that can replace a placeholder of an option or an argument. */
const wordsOf: Readonly<Record<string, readonly DeskWords[] | ":files" | ":folders">> = {
  folder: ":folders",
  file: ":files",
  "list|file": ":files",
  captures: ":files",
  loopbacks: ":files",
  "recording|folder": ":files",
  round: ["round"],
  baseline: ["round"],
  what: ["strip", "path", "round"],
  strip: ["strip"],
  strips: ["paths"],
  path: ["path", "strip"],
  paths: ["paths"],
  "path=n": ["path"],
  place: ["place"],
  id: ["note"],
  check: ["check"],
  ids: ["note"],
};

/**
 * The lines that the shell's script reads: the words that can come next, or the kind of file.
 *
 * @param words what was typed after the program's name; the last one is still being typed
 */
export async function listNextWords(
  program: Command,
  words: readonly string[],
): Promise<readonly string[]> {
  const begun = words.at(-1) ?? "";
  const before = words.slice(0, -1);
  let command = program;
  const operands: string[] = [];
  let open: Option | undefined;
  let desk: string | undefined;
  for (const word of before) {
    if (open !== undefined) {
      if (open.long === "--desk") desk = word;
      open = undefined;
      continue;
    }
    if (word.startsWith("-")) {
      const option = findOption(command, word.split("=", 1)[0]);
      if (option?.long === "--desk" && word.includes("=")) desk = word.slice(word.indexOf("=") + 1);
      if (option?.required && !word.includes("=")) open = option;
      continue;
    }
    const next = command.commands.find((one) => one.name() === word);
    if (next === undefined) operands.push(word);
    else command = next;
  }
  const deskName = () => settleDeskName(desk);
  if (open !== undefined) return answer(open, getPlaceholder(open.flags), deskName, begun);
  if (begun.startsWith("-")) return format(listOptions(command), begun);
  if (command.commands.length > 0) return format(listCommands(command), begun);
  const { registeredArguments: own } = command;
  const argument = own[operands.length] ?? (own.at(-1)?.variadic ? own.at(-1) : undefined);
  if (argument === undefined) return format(listOptions(command), begun);
  return answer(argument, argument.name(), deskName, begun);
}

async function answer(
  { argChoices }: Option | Argument,
  placeholder: string,
  deskName: () => string,
  begun: string,
): Promise<readonly string[]> {
  if (argChoices !== undefined && argChoices.length > 0) {
    return format(
      argChoices.map((value) => ({ value, about: "" })),
      begun,
    );
  }
  const words = wordsOf[placeholder];
  if (words === undefined) return [];
  if (typeof words === "string") return [words];
  const { listDeskWords } = await import("../jobs/complete.js");
  return format(listDeskWords(deskName(), words, begun), begun);
}

function listCommands(command: Command): readonly Completion[] {
  return command
    .createHelp()
    .visibleCommands(command)
    .map((one) => ({ value: one.name(), about: one.description() }));
}

function listOptions(command: Command): readonly Completion[] {
  return command
    .createHelp()
    .visibleOptions(command)
    .flatMap(({ long, description }) =>
      long === undefined || long === null ? [] : [{ value: long, about: description }],
    );
}

function findOption(command: Command, word: string): Option | undefined {
  return command.options.find(({ long, short }) => long === word || short === word);
}

/** `round` of `--with <round>`. */
function getPlaceholder(flags: string): string {
  return /[<[](.+?)(?:\.\.\.)?[>\]]/.exec(flags)?.[1] ?? "";
}

function format(candidates: readonly Completion[], begun: string): readonly string[] {
  const word = begun.toLowerCase();
  return candidates
    .filter(({ value }) => value.toLowerCase().startsWith(word))
    .map(({ value, about }) => (about === "" ? value : `${value}\t${about}`));
}
