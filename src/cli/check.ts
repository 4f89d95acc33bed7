import { type Command, Option } from "commander";
import { exitCode } from "../errors.js";
import type { CheckFormat } from "../report/check/format.js";
import { checkFormatNames, checkFormats } from "../report/check/format.js";
import {
  type CommonOptions,
  createRoundParser,
  showInstead,
  withCommonOptions,
} from "./options.js";
import { getReportStyle, printResult } from "./output.js";

interface CheckOptions extends CommonOptions {
  readonly limits?: string;
  readonly with?: string;
  readonly undecided: "pass" | "fail";
  readonly format: CheckFormat;
  readonly json?: true;
}

const exitCodes = {
  pass: exitCode.done,
  fail: exitCode.checkFailed,
  incomplete: exitCode.incomplete,
};

/** The command `check`. */
export function addCheck(program: Command): void {
  withCommonOptions(program.command("check"))
    .description("pass or fail for every strip against limits, for scripts")
    .argument(
      "[round]",
      "id of a round, a date, `oldest` or `last`",
      createRoundParser(showInstead),
      "last",
    )
    .option("--limits <file>", "limits to use instead of limits.yaml in the desk's folder")
    .option("-w, --with <round>", "the baseline round, for limits that compare with one")
    .addOption(
      new Option("--undecided <verdict>", "how to count results too close to a limit to decide")
        .choices(["pass", "fail"])
        .default("fail"),
    )
    .addOption(
      new Option("-f, --format <format>", "how to print it")
        .choices(checkFormatNames)
        .default("text"),
    )
    .addOption(new Option("-j, --json", "the same as --format json").conflicts("format"))
    .addHelpText("after", checkHelp)
    .action(async (round: string, options: CheckOptions) => {
      const { desk, limits, with: baseline, undecided } = options;
      const { check } = await import("../jobs/check.js");
      const result = await check({
        desk,
        round,
        undecided,
        ...(limits === undefined ? {} : { limitsFile: limits }),
        ...(baseline === undefined ? {} : { baseline }),
      });
      const render = await checkFormats[options.json ? "json" : options.format]();
      const { wordCheck } = await import("../report/check/word-check.js");
      const text = render(wordCheck(result), getReportStyle());
      // Set before the first byte, so that a reader that stops early cannot turn a failure into
      // success.
      process.exitCode = exitCodes[result.verdict];
      printResult(text);
    });
}

const checkHelp = `
Exit codes: 0 all strips pass; 1 a strip fails; 2 unusable request or input;
3 none fails, but a path is missing or unusable.`;
