import { type Command, InvalidArgumentError, Option } from "commander";
import { DeskroundError } from "../errors.js";
import { formatWrittenFile } from "../report/written-file.js";
import { profiles, sampleRates } from "../signal/signal-table.js";
import type { SignalFormat } from "../signal/signal-wav.js";
import type { Profile } from "../signal/types.js";
import { parseDecimal } from "../text/parse-decimal.js";
import { formatCommand } from "../text/program-name.js";
import {
  type CommonOptions,
  numberOption,
  parseNumber,
  parseWordList,
  withCommonOptions,
} from "./options.js";
import { getReportStyle, printJson, printMessage, printReport } from "./output.js";
import { tellOpenDangers } from "./tell-dangers.js";

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
  readonly outputs?: number;
  readonly turns?: true;
  readonly atOnce?: true;
  readonly single?: true;
  readonly tone?: number;
  readonly minutes?: number;
  readonly level?: number;
  readonly json?: true;
}

const formats: readonly SignalFormat[] = ["int16", "int24", "int32", "float32"];

/** The command `signal`. */
export function addSignal(program: Command): void {
  withCommonOptions(program.command("signal"))
    .description("write the test signal and print the run sheet")
    .addOption(
      new Option("-p, --profile <name>", "how thorough the signal is")
        .choices(profiles)
        .default("standard"),
    )
    .addOption(numberOption("--rate <hertz>", "sample rate", sampleRates, 48_000))
    .addOption(new Option("-f, --format <name>", "sample format").choices(formats).default("int24"))
    .option("-o, --out <file>", "WAV file to write (default: in the desk's folder)")
    .option(
      "--sheet <file>",
      "write the run sheet to a .txt, .md or .html file instead of printing it",
    )
    .option(
      "-n, --only <strips>",
      "a run sheet of only these strips or paths, e.g. 7,12/mic",
      parseWordList,
    )
    .option("--heard <round>", "fill in the results of a round: its id, or `last`")
    .option("--outputs <number>", "several outputs play one pass, patched by hand", parseOutputs)
    .option("--turns", "outputs take turns even if they could play together")
    .addOption(
      new Option(
        "--at-once",
        "all outputs play at once if each path has a recording channel: crosstalk is not measured",
      ).conflicts("turns"),
    )
    .option("--single", "paths one by one, even if desk.yaml names outputs")
    .option("--force", "replace the WAV file and the run sheet if they exist")
    .option("--sheet-only", "make only the run sheet, no WAV file")
    .option("--tone <hertz>", "write a steady tone instead, e.g. 30 or 15k", parseHertz)
    .option("--minutes <minutes>", "with --tone: how long it lasts (default: 5)", (text) =>
      parseNumber(text, "minutes", "min", "minute", "m"),
    )
    .option("--level <dbfs>", "with --tone: its level (default: as in the signal)", (text) =>
      parseNumber(text, "dBFS"),
    )
    .option("-j, --json", "print the run sheet as JSON")
    .action(async (options: SignalOptions, command: Command) => {
      if (options.tone !== undefined) return writeTone(options.tone, options, command);
      for (const name of ["minutes", "level"] as const) {
        if (options[name] !== undefined) {
          throw new DeskroundError(
            "usage",
            `--${name} is only for a steady tone.`,
            `Name its frequency too: ${formatCommand(`signal --tone 30 --${name} ${options[name]}`)}`,
          );
        }
      }
      const { desk, profile, rate, format, ...rest } = options;
      const { out, sheet: sheetFile, only, heard, ...flags } = rest;
      if (await isForPasses(options)) return writePasses(options);
      const { makeSignal } = await import("../jobs/signal.js");
      const {
        file,
        wav,
        more = [],
        sheet,
      } = await makeSignal({
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
      for (const one of [{ file, wav }, ...more]) {
        if (one.wav === "written" || one.wav === "kept") {
          printMessage(formatWrittenFile(one.file, one.wav));
        }
      }
      if (sheetFile !== undefined) {
        printMessage(formatWrittenFile(sheetFile, "written"));
        await tellOpenDangers(desk);
      }
      if (flags.json) return printJson(sheet);
      if (sheetFile !== undefined) return;
      const { renderSheetText } = await import("../report/sheet/text.js");
      printReport(renderSheetText(sheet));
    });
}

/** Whether the desk is played in passes: with --outputs, or because its file names outputs. */
async function isForPasses(options: SignalOptions) {
  const { desk, outputs, turns, atOnce, single, profile, heard, out } = options;
  const form = turns ? "--turns" : atOnce ? "--at-once" : undefined;
  if (single === true || profile === "controls") {
    if (outputs === undefined && form === undefined) return false;
    const other = single === true ? "--single" : "--profile controls";
    throw new DeskroundError(
      "usage",
      `${outputs === undefined ? form : "--outputs"} cannot be combined with ${other}.`,
      "Leave one of the two out.",
    );
  }
  const { readDesk } = await import("../desk/read/read-desk.js");
  const isAsked = outputs !== undefined || form !== undefined;
  if (!isAsked && readDesk(desk).outputs === undefined) return false;
  for (const [name, value] of Object.entries({ heard, out })) {
    if (value === undefined) continue;
    throw new DeskroundError(
      "usage",
      `--${name} cannot be used with passes.`,
      "Leave it out, or play the paths one by one with --single.",
    );
  }
  return true;
}

async function writePasses(options: SignalOptions): Promise<void> {
  const { desk, profile, rate, format, sheet: sheetFile, only, outputs, turns, atOnce } = options;
  const { makePassSignal } = await import("../jobs/pass-signal.js");
  const { files, sheet } = await makePassSignal({
    desk,
    profile,
    sampleRate: rate,
    format,
    ...(sheetFile === undefined ? {} : { sheet: sheetFile }),
    ...(only === undefined ? {} : { only }),
    ...(outputs === undefined ? {} : { outputs }),
    ...(turns === undefined ? {} : { form: "turns" }),
    ...(atOnce === undefined ? {} : { form: "at-once" }),
    write: options.force ? "replace" : "new",
    files: options.sheetOnly ? "sheet" : "all",
  });
  for (const { file, wav } of files) {
    if (wav === "written" || wav === "kept") printMessage(formatWrittenFile(file, wav));
  }
  if (outputs !== undefined) {
    printMessage(
      `To read the recordings, desk.yaml must have the same number: write outputs: ${outputs} into it.`,
    );
  }
  if (sheetFile !== undefined) {
    printMessage(formatWrittenFile(sheetFile, "written"));
    await tellOpenDangers(desk);
  }
  if (options.json) return printJson(sheet);
  if (sheetFile !== undefined) return;
  const { renderPassSheetText } = await import("../report/sheet/pass-text.js");
  printReport(renderPassSheetText(sheet));
}

function parseOutputs(text: string): number {
  if (!/^\d{1,3}$/.test(text.trim()) || Number(text) < 1) {
    throw new InvalidArgumentError("It should be a number of outputs, such as 8.");
  }
  return Number(text);
}

/** Options of the test signal or its run sheet, which do not apply to a tone. */
const signalOnly = [
  "profile",
  "sheet",
  "sheetOnly",
  "only",
  "heard",
  "outputs",
  "turns",
  "atOnce",
  "single",
] as const;

async function writeTone(
  frequencyHz: number,
  { desk, rate, format, out, force, minutes, level, json }: SignalOptions,
  command: Command,
): Promise<void> {
  const other = signalOnly.find((name) => command.getOptionValueSource(name) === "cli");
  if (other !== undefined) {
    throw new DeskroundError(
      "usage",
      `--${other.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)} cannot be combined with --tone: a tone has no run sheet.`,
      "Leave one of the two out.",
    );
  }
  const { makeTone } = await import("../jobs/tone.js");
  const { file, wav, ...sheet } = await makeTone({
    desk,
    frequencyHz,
    sampleRate: rate,
    format,
    ...(out === undefined ? {} : { out }),
    ...(minutes === undefined ? {} : { minutes }),
    ...(level === undefined ? {} : { levelDbfs: level }),
    write: force ? "replace" : "new",
  });
  printMessage(formatWrittenFile(file, wav));
  if (json) return printJson({ file, ...sheet });
  const { renderToneSheet } = await import("../report/tone.js");
  printReport(renderToneSheet(sheet, getReportStyle()));
}

/** `30`, `30 Hz`, `15k`, `1,5 kHz`. */
function parseHertz(text: string): number {
  const found = parseDecimal(text);
  const factor = { "": 1, hz: 1, k: 1000, khz: 1000 }[found?.unit.toLowerCase() ?? "none"];
  if (found === undefined || factor === undefined || found.value < 0) {
    throw new InvalidArgumentError("It should be a frequency in hertz, such as 30 or 15k.");
  }
  return Math.round(found.value * factor * 1e4) / 1e4;
}
