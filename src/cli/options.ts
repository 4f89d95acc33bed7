import { type Command, InvalidArgumentError, Option } from "commander";
import { splitPathWords } from "../desk/path-words.js";
import { parseDay } from "../text/parse-day.js";
import { parseDecimal, type WrittenDecimal } from "../text/parse-decimal.js";
import { formatCommand } from "../text/program-name.js";

/** Options that every command has. */
export interface CommonOptions {
  /** The desk's folder. */
  readonly desk: string;
}

/** Gives a command the options that every command has. */
export function withCommonOptions(command: Command): Command {
  return withDebugOption(
    command.option("-d, --desk <folder>", "folder that holds desk.yaml and rounds/", "."),
  );
}

/** Adds the option that shows where in the program an error occurred. */
export function withDebugOption(command: Command): Command {
  return command.option("--debug", "with an error, show where in the program it occurred");
}

/** Factors of the units of a frequency. */
const factors: ReadonlyMap<string, number> = new Map([
  ["", 1],
  ["hz", 1],
  ["k", 1000],
  ["khz", 1000],
]);

/** An option whose value is one of a list of frequencies. */
export function numberOption(
  flags: string,
  description: string,
  choices: readonly number[],
  usual: number,
): Option {
  return new Option(flags, description)
    .choices(choices.map(String))
    .default(usual)
    .argParser((text: string) => {
      const found = parseDecimal(text);
      const factor = factors.get(found?.unit.toLowerCase() ?? "");
      const written = (found?.value ?? Number.NaN) * (factor ?? Number.NaN);
      const value = choices.find((choice) => Math.abs(choice - written) < 1e-6 * choice);
      if (value !== undefined) return value;
      const like = choices.find((choice) => choice === 1000 * (found?.value ?? 0));
      throw new InvalidArgumentError(
        `${like === undefined ? "" : `Did you mean ${like}? `}Allowed choices are ${choices.join(", ")}.`,
      );
    });
}

/**
 * Keeps a negative value with a unit, such as `-120mV`, from being read as an option: its hyphen
 * becomes a minus sign. A number alone is left as it is.
 */
export function keepNegativeValues(words: readonly string[]): readonly string[] {
  if (!words.includes("note") || !words.includes("meter")) return words;
  return words.map((word) => word.replace(/^-(?=[.,]?\d)/, "\u2212"));
}

/** A whole number from 0. */
export function parseWholeNumber(text: string): number {
  if (!/^\d{1,9}$/.test(text)) throw new InvalidArgumentError("It should be a whole number.");
  return Number(text);
}

/** Parses a calendar day as people write it to YYYY-MM-DD. */
export function parseCalendarDay(text: string): string {
  const parsed = parseDay(text);
  if ("day" in parsed) return parsed.day;
  throw new InvalidArgumentError(parsed.fault);
}

/**
 * A number with or without one of these units, as people write it: `2.5`, `2,5h`, `-18 dBFS`.
 *
 * @param units the first is named in the error if another was written
 */
export function parseNumber(text: string, ...units: readonly string[]): number {
  return parseWrittenNumber(text, ...units).value;
}

/** The same with the value of the last digit. */
export function parseWrittenNumber(text: string, ...units: readonly string[]): WrittenDecimal {
  const found = parseDecimal(text);
  const [usual = ""] = units;
  const unit = found?.unit.toLowerCase();
  if (found === undefined) throw new InvalidArgumentError(`It should be a number${inUnit(usual)}.`);
  if (unit === "" || units.some((one) => one.toLowerCase() === unit)) return found;
  const volts = usual === "volts" && unit === "dbu" ? ` ${formatDbuAsVolts(found.value)}` : "";
  throw new InvalidArgumentError(
    `It should be a number${inUnit(usual)}, and not in ${found.unit}.${volts}`,
  );
}

/** 0 dBu is the voltage that gives 1 mW in 600 Ω, √0.6 V (IEC 60027-3). */
function formatDbuAsVolts(dbu: number): string {
  const volts = Math.sqrt(0.6) * 10 ** (dbu / 20);
  return `${dbu > 0 ? "+" : ""}${dbu} dBu is ${volts.toPrecision(4)} V; a meter reading is better than that.`;
}

function inUnit(unit: string): string {
  return unit === "" ? "" : ` of ${unit}`;
}

/**
 * A round's id, day or name as it is; a strip or path instead is a slip.
 *
 * @param instead what to type for that strip or path
 */
export function createRoundParser(instead: (path: string) => string): (text: string) => string {
  return (text) => {
    const { strip, input } = /^\d{4}|^\d{1,2}\.\d/.test(text) ? {} : splitPathWords(text);
    if (/\.html?$/i.test(text)) {
      throw new InvalidArgumentError(
        `That is a file, not a round. For example: ${formatCommand(`report --out ${text}`)}`,
      );
    }
    if (strip === undefined) return text;
    const path = input === undefined ? strip : `${strip}/${input}`;
    throw new InvalidArgumentError(
      `That is a ${input === undefined ? "strip" : "path"}, not a round. For example: ${instead(path)}`,
    );
  };
}

/** The command that shows a strip or path, for commands that do not take one. */
export function showInstead(path: string): string {
  return formatCommand(`show ${path}`);
}

/** Words separated by commas; empty ones are dropped. */
export function parseWordList(text: string): readonly string[] {
  if (/^--?\p{L}/u.test(text)) {
    throw new InvalidArgumentError(
      "That is the next option: a list such as 7,12/mic belongs before it.",
    );
  }
  return text
    .split(",")
    .map((word) => word.trim())
    .filter((word) => word !== "");
}
