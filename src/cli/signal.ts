import { type Command, Option } from "commander";
import { profiles, sampleRates } from "../signal/signal-table.js";
import type { SignalFormat } from "../signal/signal-wav.js";
import type { Profile } from "../signal/types.js";
import { type CommonOptions, numberOption, parseWordList, withCommonOptions } from "./options.js";
import { printJson, printMessage, printReport } from "./output.js";

interface SignalOptions extends CommonOptions {
  readonly profile: Profile;
  readonly rate: number;
  readonly format: SignalFormat;
  readonly out?: string;
  readonly force?: true;
  readonly sheet?: string;
  readonly sheetOnly?: true;
  readonly only?: readonly string[];
  readonly heard?: string;
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
    .option("--sheet <file>", "write the run sheet into a .txt, .md or .html file, print none")
    .option(
      "--only <strips>",
      "a run sheet of some strips or paths alone, as 7,12/mic",
      parseWordList,
    )
    .option("--heard <round>", "fill in what a round heard: its id, or `last`")
    .option("--force", "replace the WAV file and the run sheet if they exist")
    .option("--sheet-only", "make the run sheet alone, write no WAV file")
    .option("--json", "print the run sheet as JSON")
    .action(async ({ desk, profile, rate, format, ...rest }: SignalOptions) => {
      const { out, sheet: sheetFile, only, heard, ...flags } = rest;
      const { makeSignal } = await import("../jobs/signal.js");
      const { file, wav, sheet } = await makeSignal({
        desk,
        profile,
        sampleRate: rate,
        format,
        ...(out === undefined ? {} : { out }),
        ...(sheetFile === undefined ? {} : { sheet: sheetFile }),
        ...(only === undefined ? {} : { only }),
        ...(heard === undefined ? {} : { heard }),
        write: flags.force ? "replace" : "new",
        files: flags.sheetOnly ? "sheet" : "all",
      });
      if (wav === "written") printMessage(`Wrote ${file}.`);
      if (wav === "kept") printMessage(`${file} is there already, the same to the last bit.`);
      if (sheetFile !== undefined) printMessage(`Wrote ${sheetFile}.`);
      if (flags.json) return printJson(sheet);
      if (sheetFile !== undefined) return;
      const { renderSheetText } = await import("../report/sheet/text.js");
      printReport(renderSheetText(sheet));
    });
}
