import { getCauseName } from "../diagnose/causes.js";
import type { ExpectedOutcome, NextCheck } from "../diagnose/checks/types.js";
import { formatCount } from "../text/format-count.js";

/** The check that pays best, in one line: what to do, what it costs and saves, what it tells. */
export function formatNextCheck(next: NextCheck): string {
  const { todo, power, minutes, savesMinutes } = next;
  const where = power === "in use" ? "desk closed" : power;
  const outcomes = next.outcomes.map(formatOutcome).join(" ");
  return `${todo} (${formatCount(minutes, "minute")}, ${where}; expected to save ${savesMinutes.toFixed(0)}). ${outcomes}`;
}

/** What it takes and saves, and how its recording is analyzed: `2 minutes, expected to save 5 …`. */
export function formatCheckWorth(
  { minutes, savesMinutes, setting, check }: NextCheck,
  path: string,
): string {
  const worth = `${formatCount(minutes, "minute")}, expected to save ${savesMinutes.toFixed(0)}.`;
  if (setting === undefined) return worth;
  const only = check === "other-input" ? "that input" : path;
  return `${worth} Analyze it with --only ${only} --setting ${setting}.`;
}

function formatOutcome({ outcome, causes }: ExpectedOutcome): string {
  const words = causes.map(
    ({ cause, probability }) => `${getCauseName(cause)} ${(100 * probability).toFixed(0)} %`,
  );
  return `${labels[outcome]}: ${words.join(", ")}.`;
}

const labels: Readonly<Record<ExpectedOutcome["outcome"], string>> = {
  gone: "Gone",
  stays: "Stays",
  idle: "Nothing changes",
};
