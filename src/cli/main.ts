import { type Argument, Command, CommanderError } from "commander";
import { exitCode } from "../errors.js";
import { getProgramName, nameDesk, setReaders } from "../text/program-name.js";
import { toolVersion } from "../version.js";
import { addAnalyze } from "./analyze.js";
import { confirmDay, forAnyDay } from "./ask.js";
import { addCalibrate } from "./calibrate.js";
import { addCheck } from "./check.js";
import { formatCommandName } from "./command-names.js";
import { addCompare } from "./compare.js";
import { addCompletion } from "./completion.js";
import { addDemo } from "./demo.js";
import { settleDesk } from "./desk-folder.js";
import { examplesOf } from "./examples.js";
import { addHalve } from "./halve.js";
import { addInit } from "./init.js";
import { addListen } from "./listen.js";
import { addMorning } from "./morning.js";
import { addNote } from "./note.js";
import { addOpening } from "./opening.js";
import { keepNegativeValues, withDebugOption } from "./options.js";
import { createLostResultError, printError, printErrorLines, writeStdout } from "./output.js";
import { addPlan } from "./plan.js";
import { addReport } from "./report.js";
import { addShow } from "./show.js";
import { addSignal } from "./signal.js";
import { addStores } from "./stores.js";
import { addWithdraw } from "./withdraw.js";

/**
 * Runs the command line and sets the process's exit code.
 *
 * @param args arguments after the program's name
 */
export async function main(args: readonly string[]): Promise<void> {
  endWell();
  setReaders("here");
  nameDesk(undefined);
  const program = createProgram();
  try {
    if (args.some((word, k) => word.startsWith("-") && args[k + 1]?.startsWith("-"))) {
      const { assertOptionValues } = await import("./usage-error.js");
      assertOptionValues(program, args);
    }
    await program.parseAsync(keepNegativeValues(args), { from: "user" });
  } catch (error) {
    if (error instanceof CommanderError) {
      // Help and version exit with 0; anything else is a request that was not understood.
      process.exitCode = error.exitCode === 0 ? exitCode.done : exitCode.unusable;
      if (error.exitCode === 0 || error.code === "commander.help") return;
      const { formatUsageError } = await import("./usage-error.js");
      printErrorLines(formatUsageError(error, program, args));
      return;
    }
    await printError(error, args.includes("--debug") ? "debug" : "plain");
    process.exitCode = exitCode.unusable;
  }
}

/** The command line, with everything that `--help` and the man page say about it. */
export function createProgram(): Command {
  const program = new Command("deskround")
    .description("Finds the faulty strips of a large analogue mixing desk before it is opened.")
    .version(toolVersion, "--version", "print the version")
    .exitOverride()
    // Leaving out "[options]", which every command has, makes the list fit into 80 columns.
    .configureHelp({
      subcommandTerm: (command) =>
        [command.name(), ...command.registeredArguments.map(formatArgument)].join(" "),
      commandUsage: (command) => `${formatCommandName(command)} ${command.usage()}`,
    })
    .configureOutput({
      writeOut: writeStdout,
      // Printed where it is caught, in the form of every other error.
      outputError: () => {},
    })
    .addHelpText("after", exitCodeHelp);
  withDebugOption(program);
  for (const add of [
    addInit,
    addSignal,
    addCalibrate,
    addAnalyze,
    addListen,
    addHalve,
    addMorning,
    addShow,
    addCompare,
    addCheck,
    addReport,
    addNote,
    addPlan,
    addOpening,
    addStores,
    addWithdraw,
    addDemo,
    addCompletion,
  ])
    add(program);
  program.hook("preAction", (_, command) =>
    setReaders(isForTerminal(command) ? "here" : "anywhere"),
  );
  program.hook("preAction", (_, command) => settleDesk(command));
  program.hook("preAction", (_, command) => confirmDay(command));
  for (const command of program.commands.flatMap((one) => [one, ...one.commands])) {
    if (
      command.options.some(({ long }) => long === "--date") &&
      !forAnyDay.includes(command.name())
    ) {
      command.option("--future", "the --date is right, although it is in the future");
    }
    const examples = examplesOf(command);
    if (examples.length === 0) continue;
    const heading = examples.length === 1 ? "Example" : "Examples";
    command.addHelpText("after", `\n${heading}:\n${examples.map((one) => `  ${one}\n`).join("")}`);
  }
  return program;
}

/**
 * JSON, tables and pages are for programs or for other places. The format of `signal` is that of
 * its samples.
 */
function isForTerminal(command: Command): boolean {
  const { json, format = "text" } = command.opts<{ json?: boolean; format?: string }>();
  return json !== true && (format === "text" || command.name() === "signal");
}

/** `<round>`, `[because...]`. */
function formatArgument(argument: Argument): string {
  const name = `${argument.name()}${argument.variadic ? "..." : ""}`;
  return argument.required ? `<${name}>` : `[${name}]`;
}

const exitCodeHelp = `
Exit codes: 0 done; 1 a check failed, or the desk should not be closed;
2 unusable request or input; 3 done, but paths or rounds are missing.
Results go to stdout, everything else to stderr.

A first look: ${getProgramName()} demo. Help on one command: ${getProgramName()} show --help`;

/**
 * A closed reader is not an error. Ctrl-C and SIGTERM deliberately have no handler: it would only
 * run once the program waits for events, which it does not do during work. Node restores the
 * terminal and exits at once; every file is written so that this does no harm.
 */
function endWell(): void {
  process.stdout.on("error", (error: NodeJS.ErrnoException) => {
    if (error.code === "EPIPE") process.exit();
    void printError(createLostResultError(error), "plain");
    process.exit(exitCode.unusable);
  });
  process.stderr.on("error", () => {});
}
