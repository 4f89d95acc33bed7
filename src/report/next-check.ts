import { getCauseName } from "../diagnose/causes.js";
import type { ExpectedOutcome, NextCheck } from "../diagnose/checks/types.js";
import { formatCount } from "../text/format-count.js";
import { formatCommand } from "../text/program-name.js";

/** The most worthwhile check, in one line: what to do, what it costs and saves, what it shows. */
export function formatNextCheck(next: NextCheck): string {
  const { todo, power, minutes, savesMinutes } = next;
  const where = power === "in use" ? "desk closed" : power;
  const outcomes = listOutcomes(next).join(" ");
  return `${todo} (${formatCount(minutes, "minute")}, ${where}; expected to save ${savesMinutes.toFixed(0)}). ${outcomes}`;
}

/** The time that it takes and saves, and how to analyze its recording. */
export function formatCheckWorth(
  { minutes, savesMinutes, setting, check }: NextCheck,
  path: string,
): string {
  const worth = `It takes ${formatCount(minutes, "minute")} and saves about ${formatCount(Math.round(savesMinutes), "minute")} of searching on average.`;
  if (setting === undefined) return worth;
  const only = check === "other-input" ? "that input" : path;
  return check === "other-input"
    ? `${worth} Analyze it with --only ${only} --setting ${setting}.`
    : `${worth} Then \`${formatCommand(`analyze --only ${only} --setting ${setting}`)}\` and the name of the recording; put the setting back.`;
}

/** What each possible outcome shows, one sentence each. */
export function listOutcomes({ outcomes }: Pick<NextCheck, "outcomes">): readonly string[] {
  return outcomes.map(formatOutcome);
}

function formatOutcome({ outcome, causes }: ExpectedOutcome): string {
  const words = causes.map(
    ({ cause, probability }) => `${getCauseName(cause)} ${(100 * probability).toFixed(0)}\u00a0%`,
  );
  return `${labels[outcome]}: ${words.join(", ")}.`;
}

const labels: Readonly<Record<ExpectedOutcome["outcome"], string>> = {
  gone: "If the fault is gone then",
  stays: "If it stays",
  idle: "If nothing changes at all",
};
