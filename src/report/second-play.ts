import { findCheck } from "../diagnose/checks/check-kinds.js";
import type { Cause } from "../diagnose/types.js";
import type { SecondPlay, SecondPlays } from "../service/checks/types.js";
import { formatNextCheck } from "./next-check.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/**
 * What second plays decided: for each path the outcome, its causes before and now, and the next
 * check.
 */
export function renderSecondPlays({ against, plays }: SecondPlays, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  return [...plays.flatMap((one) => playLines(one, against, { ...style, width })), ""].join("\n");
}

function playLines(one: SecondPlay, against: string, style: ReportStyle): readonly string[] {
  const { path, recorded, check, outcome, figures, note, before, now } = one;
  const { strong } = createPalette(style);
  const whose = recorded === path ? "" : `, by ${recorded}`;
  const words =
    outcome === "unclear" ? "it shows nothing" : (findCheck(check)?.words[outcome] ?? outcome);
  const kept = note === undefined ? "" : ` Noted as ${note}.`;
  const was = new Map(before.map(({ cause, probability }) => [cause, probability]));
  return [
    strong(`${path}${whose}, ${check} against round ${against}: ${words}.`),
    ...wrapText(`${figures.join("; ")}.${kept}`, style.width, "  ", "  "),
    ...now.causes.map((cause) => `  ${formatChange(cause, was.get(cause.cause))}`),
    ...(now.next === undefined
      ? []
      : wrapText(formatNextCheck(now.next), style.width, "  check next: ", "    ")),
  ];
}

function formatChange({ name, probability }: Cause, was: number | undefined): string {
  const percent = (share: number) => `${Math.round(100 * share)} %`;
  if (probability === undefined) return name;
  const before = was === undefined ? "" : `, was ${percent(was)}`;
  return `${name} ${percent(probability)}${before}`;
}
