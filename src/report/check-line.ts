import { findCheck } from "../diagnose/checks/check-kinds.js";
import type { CheckLine } from "../service/checks/weigh-checks.js";

/** What a check in the notebook showed: `low-cut: what stood out is gone (response: 4 % of it is left)`. */
export function formatCheckLine({ check, outcome, figures, text }: CheckLine): string {
  const words = findCheck(check)?.words[outcome] ?? outcome;
  const seen = figures.length === 0 ? "" : ` (${figures.join("; ")})`;
  return `${check}: ${words}${seen}${text === "" ? "" : `; ${text}`}`;
}
