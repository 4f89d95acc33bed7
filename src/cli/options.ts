import { type Command, InvalidArgumentError, Option } from "commander";

/** Options that every command has. */
export interface CommonOptions {
  /** The desk's folder. */
  readonly desk: string;
}

/** Gives a command the options that every command has. */
export function withCommonOptions(command: Command): Command {
  return withDebugOption(
    command.option("--desk <folder>", "folder that holds desk.yaml and rounds/", "."),
  );
}

export function withDebugOption(command: Command): Command {
  return command.option("--debug", "with an error, show where in the program it arose");
}

/** An option whose value is one of a list of numbers. */
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
      const value = choices.find((choice) => String(choice) === text);
      if (value !== undefined) return value;
      throw new InvalidArgumentError(`Allowed choices are ${choices.join(", ")}.`);
    });
}

/**
 * Command-line words in which a negative value with a unit, `-120mV`, is not taken for options: its
 * hyphen becomes a minus sign. A number alone is let pass as it is.
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

/** A day of the calendar, YYYY-MM-DD. */
export function parseCalendarDay(text: string): string {
  const time = /^\d{4}-\d{2}-\d{2}$/.test(text) ? Date.parse(`${text}T00:00:00Z`) : Number.NaN;
  if (Number.isNaN(time) || new Date(time).toISOString().slice(0, 10) !== text) {
    throw new InvalidArgumentError("It should be a day written YYYY-MM-DD.");
  }
  return text;
}

/** Words separated by commas; empty ones are dropped. */
export function parseWordList(text: string): readonly string[] {
  return text
    .split(",")
    .map((word) => word.trim())
    .filter((word) => word !== "");
}
