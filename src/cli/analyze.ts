import { type Command, Option } from "commander";
import { formatRecordingKinds } from "../desk/recording-kinds.js";
import type { AnalyzeRequest } from "../jobs/analyze.js";
import { askYesNo, canAsk } from "./ask.js";
import {
  type CommonOptions,
  parseCalendarDay,
  parseWordList,
  withCommonOptions,
} from "./options.js";
import { getReportStyle, printMessage } from "./output.js";
import { withProgress } from "./progress.js";
import { printRetest } from "./retest.js";
import { printRound } from "./round.js";

interface AnalyzeOptions extends CommonOptions {
  readonly map?: string;
  readonly silent?: readonly string[];
  readonly only?: readonly string[];
  readonly take?: readonly string[];
  readonly signal?: string;
  readonly date?: string;
  readonly uncalibrated?: true;
  readonly retest?: true;
  readonly setting?: string;
  readonly replace?: string;
  readonly preview?: true;
  readonly json?: true;
}

/** The command `analyze`. */
export function addAnalyze(program: Command): void {
  withCommonOptions(program.command("analyze"))
    .description("measure recordings, rank and diagnose every path, store the round")
    .argument("<captures...>", `${formatRecordingKinds()} files, in the order they were recorded`)
    .option("-m, --map <list|file>", "the path of each return: 1/mic,2/mic or a file of lines")
    .option("-s, --silent <paths>", "paths that were patched, but nothing came back", parseWordList)
    .option(
      "-n, --only <strips>",
      "only these strips or paths, e.g. 7,12/mic: a partial round",
      parseWordList,
    )
    .option(
      "-t, --take <path=n>",
      "which take of a path counts, e.g. 7/mic=1 (default: the last)",
      parseWordList,
    )
    .option("--signal <file>", "the test signal that was played")
    .option("--date <day>", "day of the recordings, YYYY-MM-DD (default: today)", parseCalendarDay)
    .option("--uncalibrated", "ignore calibration.json: levels in dBFS, gains relative")
    .option("--retest", "test the strips that were worked on, before the desk is closed")
    .addOption(
      new Option(
        "--setting <check>",
        "recorded again with this changed, to decide between causes; stores no round",
      ).conflicts(["retest", "replace"]),
    )
    .option("--replace <round>", "the round that this one replaces; it is withdrawn")
    .addOption(new Option("--preview", "store nothing").conflicts("replace"))
    .option("-j, --json", "print the round as JSON")
    .action(async (captures: string[], options: AnalyzeOptions) => {
      const { desk, silent = [], map, only, take: takes = [], signal, date } = options;
      const { analyze } = await import("../jobs/analyze.js");
      const { renderAssignment } = await import("../report/assignment.js");
      const request = {
        desk,
        captures,
        silent,
        takes,
        ...(map === undefined ? {} : { map }),
        ...(only === undefined ? {} : { only }),
        ...(signal === undefined ? {} : { signalFile: signal }),
        ...(date === undefined ? {} : { date }),
        ...(options.replace === undefined ? {} : { replaces: options.replace }),
        calibration: options.uncalibrated ? "leave-out" : "use",
        keep: options.preview ? "preview" : "store",
      } as const;
      if (request.keep === "store" && date === undefined) await offerToSetAside(desk);
      const asked = { ...request, calibration: await askAboutCalibration(request) } as const;
      if (options.setting !== undefined) {
        const { printSecondPlay } = await import("./second-play.js");
        const again = { ...asked, setting: options.setting };
        return printSecondPlay(again, options.json ? "json" : "text");
      }
      if (options.retest) return printRetest(asked, options.json ? "json" : "text");
      const round = await withProgress((onProgress, say) =>
        analyze(asked, onProgress, (assignments) =>
          say(renderAssignment(assignments, getReportStyle(process.stderr).width)),
        ),
      );
      if (!options.preview) printMessage(`Stored round ${round.id}.`);
      const { weighChecks } = await import("../jobs/read-checks.js");
      const shown = options.json ? await weighChecks(desk, round) : round;
      await printRound(
        shown,
        options.json ? "json" : "text",
        options.preview ? "preview" : "stored",
      );
    });
}

/**
 * A calibration from another year is valid only if the same interface is still set the same way.
 */
async function askAboutCalibration({
  desk,
  date,
  calibration,
}: Pick<AnalyzeRequest, "desk" | "date" | "calibration">): Promise<
  NonNullable<AnalyzeRequest["calibration"]>
> {
  if (calibration === "leave-out" || !canAsk()) return calibration ?? "use";
  const { findCalibrationDoubt } = await import("../jobs/analyze.js");
  const doubt = await findCalibrationDoubt(desk, date);
  if (doubt === undefined) return "use";
  printMessage(doubt);
  const holds = await askYesNo("Is it the same interface, at the same setting?");
  if (!holds) printMessage("Measured uncalibrated: levels in dBFS, gains relative.");
  return holds ? "confirmed" : "leave-out";
}

/**
 * A round with a date in the future, from a wrong clock, would keep every later one from being
 * stored.
 */
async function offerToSetAside(desk: string): Promise<void> {
  if (!canAsk()) return;
  const { listRoundsAhead, withdrawRound } = await import("../jobs/withdraw.js");
  for (const { round, today } of listRoundsAhead(desk)) {
    printMessage(`This computer's clock says ${today}, but round ${round} is dated later.`);
    const question = `Set round ${round} aside, because the clock was wrong when it was made, and go on?`;
    if (!(await askYesNo(question))) return;
    withdrawRound({ desk, round, because: "made under a wrong clock" });
  }
}
