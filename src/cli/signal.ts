import { type Command, Option } from "commander";
import type { SignalFormat } from "../signal/file.js";
import { profiles, sampleRates } from "../signal/profiles.js";
import type { Profile } from "../signal/table.js";
import { type CommonOptions, numberOption, withCommonOptions } from "./options.js";
import { note, printJson, printReport } from "./output.js";

interface SignalOptions extends CommonOptions {
  readonly profile: Profile;
  readonly rate: number;
  readonly format: SignalFormat;
  readonly out?: string;
  readonly force?: true;
  readonly sheetOnly?: true;
  readonly json?: true;
}

const formats: readonly SignalFormat[] = ["int16", "int24", "int32", "float32"];

export function addSignal(program: Command): void {
  withCommonOptions(program.command("signal"))
    .description("write the test signal and print the run sheet")
    .addOption(
      new Option("--profile <name>", "how thorough the signal is")
        .choices(profiles)
        .default("standard"),
    )
    .addOption(numberOption("--rate <hertz>", "sample rate", sampleRates, 48_000))
    .addOption(new Option("--format <name>", "sample format").choices(formats).default("int24"))
    .option("--out <file>", "WAV file to write (default: in the desk's folder)")
    .option("--force", "replace the WAV file if it exists")
    .option("--sheet-only", "print the run sheet, write no WAV file")
    .option("--json", "print the run sheet as JSON")
    .action(async ({ desk, profile, rate, format, out, ...flags }: SignalOptions) => {
      const { makeSignal } = await import("../jobs/signal.js");
      const { file, sheet } = makeSignal({
        desk,
        profile,
        sampleRate: rate,
        format,
        ...(out === undefined ? {} : { out }),
        write: flags.sheetOnly ? "sheet-only" : flags.force ? "replace" : "new",
      });
      if (!flags.sheetOnly) note(`Wrote ${file}.`);
      if (flags.json) return printJson(sheet);
      const { renderRunSheet } = await import("../report/run-sheet.js");
      printReport(renderRunSheet(sheet));
    });
}
