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
