import { type Command, Option } from "commander";
import { DeskroundError, exitCode } from "../errors.js";
import { clearEarly } from "./clear-early.js";
import {
  type CommonOptions,
  parseCalendarDay,
  parseWordList,
  withCommonOptions,
} from "./options.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";
import { printRound, setRoundExitCode } from "./round.js";
import { tellOpenDangers } from "./tell-dangers.js";

interface ListenOptions extends CommonOptions {
  readonly only?: readonly string[];
  readonly profile?: "quick" | "standard" | "full";
  readonly signal?: string;
  readonly date?: string;
  readonly uncalibrated?: true;
  readonly new?: true;
  readonly already?: true;
  readonly untilComplete?: true;
  readonly json?: true;
  readonly play?: true;
  readonly try?: true;
}

/** The command `listen`. */
export function addListen(program: Command): void {
  withCommonOptions(program.command("listen"))
    .description("follow a recording while it is made, with an answer after each return")
    .argument(
      "[recording|folder]",
      "the file that the recorder writes, or the folder it writes into",
    )
    .option("--play", "play and record as well, with the programs of `audio` in desk.yaml")
    .option("--try", "only play a soft signal and say what comes back")
    .option(
      "-n, --only <strips>",
      "only these strips or paths, e.g. 7,12/mic; `unsure`: those that the last rounds left undecided",
      parseWordList,
    )
    .addOption(
      new Option(
        "-p, --profile <name>",
        "with --play or --try: which of the desk's signals",
      ).choices(["quick", "standard", "full"]),
    )
    .option("--signal <file>", "the test signal that is played")
    .option("--date <day>", "day of the recordings, YYYY-MM-DD (default: today)", parseCalendarDay)
    .option("--uncalibrated", "ignore calibration.json: levels in dBFS, gains relative")
    .option("--new", "start a new sitting even if one for this recording was left open")
    .option("--already", "include the recordings that are already in the folder")
    .addOption(
      new Option(
        "--until-complete",
        "end once each path has had its turn and the recorder has stopped",
      ),
    )
    .option("-j, --json", "one line of JSON for each event")
    .addHelpText("after", keyHelp)
    .action(async (target: string | undefined, options: ListenOptions) => {
      const { desk, only, profile, signal, date } = options;
      if (target === undefined && !options.play && !options.try) throw nothingToFollow();
      await tellOpenDangers(desk);
      if (options.try) return printChain(options);
      clearEarly();
      const { listen } = await import("../jobs/listen.js");
      const { openListenScreen } = await import("./listen-screen.js");
      const screen = await openListenScreen(
        options.json ? "json" : "text",
        options.play ? "plays" : "by-hand",
        getReportStyle(),
      );
      const request = {
        desk,
        ...(target === undefined ? {} : { target }),
        ...(options.play ? { sound: "play" as const } : {}),
        ...(only === undefined ? {} : { only }),
        ...(profile === undefined ? {} : { profile }),
        ...(signal === undefined ? {} : { signalFile: signal }),
        ...(date === undefined ? {} : { date }),
        calibration: options.uncalibrated ? "leave-out" : "use",
        sitting: options.new ? "new" : "go-on",
        already: options.already ? "include" : "leave-alone",
        end: options.untilComplete ? "when-complete" : "by-command",
      } as const;
      const { sitting, round, since } = await withProgress(async (onProgress) => {
        try {
          return await listen(request, screen.world, (at) => {
            screen.close();
            onProgress(at);
          });
        } finally {
          screen.close();
        }
      });
      if (options.json) {
        screen.printJsonLine({
          kind: "ended",
          sitting,
          ...(round ? { round: round.id } : {}),
          ...(since ? { since } : {}),
        });
      }
      if (round === undefined) {
        printMessage(
          `Sitting ${sitting} stays open: the same command resumes it, and \`e\` ends it.`,
        );
        process.exitCode = exitCode.incomplete;
        return;
      }
      printMessage(`Stored round ${round.id}.`);
      if (options.json) return;
      if (since === undefined) return printRound(round, "text", "stored");
      const { renderShortSitting } = await import("../report/sitting/format-since-then.js");
      printReport(renderShortSitting(since, round, getReportStyle()));
      setRoundExitCode(round);
    });
}

function nothingToFollow(): DeskroundError {
  return new DeskroundError(
    "usage",
    "No recording or folder to follow is named.",
    "Name the file that the recorder writes or its folder; with --play deskround makes the recording itself.",
  );
}

async function printChain({ desk, profile, signal, json }: ListenOptions): Promise<void> {
  const { tryChain } = await import("../jobs/listen.js");
  const { listChainFaults } = await import("../sitting/check-chain.js");
  printMessage("Mute the monitors and turn headphones down. A soft signal plays.");
  const chain = await tryChain({
    desk,
    ...(profile === undefined ? {} : { profile }),
    ...(signal === undefined ? {} : { signalFile: signal }),
  });
  if (json) {
    const { wordChain } = await import("../report/sitting/word-sitting-event.js");
    await printJson(wordChain(chain));
  } else {
    const { formatChain } = await import("../report/sitting/format-chain.js");
    printReport(formatChain(chain).join("\n"));
  }
  if (listChainFaults(chain).length > 0) process.exitCode = exitCode.checkFailed;
}

const keyHelp = `
Keys on a terminal: ? lists them. Without a terminal, lines of standard input:
play, muted, again, skip, silent, back, drop, yes, next 7/mic, this 7/mic,
note TEXT, pause, end, leave.`;
