import type { Command } from "commander";
import { DeskroundError, exitCode } from "../errors.js";
import { sampleRates } from "../signal/signal-table.js";
import { formatCommand, getProgramName } from "../text/program-name.js";
import { askYesNo, canAsk } from "./ask.js";
import { type CommonOptions, numberOption, withCommonOptions } from "./options.js";
import { printJson, printMessage, printReport } from "./output.js";
import { withProgress } from "./progress.js";
import { tellOpenDangers } from "./tell-dangers.js";

interface MorningOptions extends CommonOptions {
  readonly play?: true;
  readonly rate: number;
  readonly good?: true;
  readonly date?: string;
  readonly json?: true;
}

/** The command `morning`. */
export function addMorning(program: Command): void {
  withCommonOptions(program.command("morning"))
    .description("one short pass over the wired paths, compared with the last good day")
    .argument("[recording]", "the recording of the pass, unless --play makes it")
    .option("--play", "play and record it; mute the monitors and turn headphones down first")
    .addOption(numberOption("--rate <hertz>", "with --play: sample rate", sampleRates, 48_000))
    .option("--good", "accept this morning as good: later ones are compared with it")
    .option("--date <day>", "day of the recording, YYYY-MM-DD (default: today)")
    .option("--json", "print it as JSON")
    .addHelpText("after", morningHelp)
    .action(async (recording: string | undefined, options: MorningOptions) => {
      const { desk, play, rate, good, date } = options;
      if ((recording === undefined) === (play === undefined)) {
        throw new DeskroundError(
          "usage",
          play ? "--play makes the recording itself: do not name one." : "No recording is named.",
          `${formatCommand("morning recording.wav")}, or with the monitors muted: ${formatCommand("morning --play")}`,
        );
      }
      await tellOpenDangers(desk);
      // Somebody at a terminal is asked; the author of a script knew what it does.
      if (play && canAsk()) {
        const question =
          "Are the monitors muted and headphones turned down? It plays sweeps and tones.";
        if (!(await askYesNo(question))) return;
      }
      const { checkMorning } = await import("../jobs/morning.js");
      const result = await withProgress((onProgress) =>
        checkMorning(
          {
            desk,
            sampleRate: rate,
            take: good ? "good" : "as-judged",
            ...(recording === undefined ? {} : { recording }),
            ...(date === undefined ? {} : { date }),
          },
          onProgress,
        ),
      );
      const { entry, comparison, unseen, damaged, doubts } = result;
      process.exitCode = entry.verdict === "good" ? exitCode.done : exitCode.checkFailed;
      for (const doubt of doubts) printMessage(doubt);
      if (damaged > 0)
        printMessage(
          damaged === 1
            ? "1 line of the log cannot be read and was skipped."
            : `${damaged} lines of the log cannot be read and were skipped.`,
        );
      if (options.json) return printJson({ ...entry, changes: comparison.changes, unseen });
      const { formatUnseen } = await import("../report/morning.js");
      printReport(`${entry.sentence}\n${formatUnseen(unseen)}`);
    });
}

const morningHelp = `
\`${getProgramName()} show --mornings\` lists them; with a path, it draws that day by day.

Exit codes: 0 as on the last good day; 1 something has changed;
2 unusable request or input.`;
