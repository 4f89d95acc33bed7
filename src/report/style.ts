import { Chalk } from "chalk";

/** What the terminal or file allows. */
export interface ReportStyle {
  readonly colour: "none" | "ansi";
  /** Columns. */
  readonly width: number;
}

/** Colours of a report; colour is never the only carrier of a meaning. */
export function createPalette({ colour }: ReportStyle) {
  const chalk = new Chalk({ level: colour === "none" ? 0 : 1 });
  return {
    strong: chalk.bold,
    quiet: chalk.dim,
    bad: chalk.red,
    doubt: chalk.yellow,
    good: chalk.green,
  };
}
