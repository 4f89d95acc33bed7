import { escapeMarkdown as escaped } from "../markdown.js";
import { sanitizeLine } from "../sanitize.js";
import {
  formatCountLine,
  formatReasonLines,
  formatSharedLine,
  formatTitleLine,
  formatVerdictLine,
  listPathsWith,
} from "./phrases.js";
import type { RenderCheck } from "./render-check.js";
import type { WordedCheck, WordedPathCheck } from "./word-check.js";

/** A summary for the page of a build: verdict, a table of the paths that did not pass, counts. */
export const renderMarkdown: RenderCheck = (check) =>
  [
    `## ${escaped(formatVerdictLine(check))}`,
    "",
    escaped(formatTitleLine(check)),
    "",
    ...problems(check),
    escaped(formatCountLine(check)),
    ...notes(check),
    "",
  ].join("\n");

function problems(check: WordedCheck): readonly string[] {
  const rows: string[] = (["fail", "undecided", "incomplete"] as const).flatMap((verdict) =>
    listPathsWith(check, verdict).map((path) => row(path)),
  );
  const { shared = [] } = check;
  rows.unshift(
    ...shared.map((one) => `| shared | ${one.verdict} | ${escaped(formatSharedLine(one))} |`),
  );
  if (rows.length === 0) return [];
  return ["| path | verdict | why |", "| --- | --- | --- |", ...rows, ""];
}

function row(path: WordedPathCheck): string {
  const why = formatReasonLines(path).map(escaped).join("<br>");
  return `| ${escaped(sanitizeLine(path.path))} | ${path.verdict} | ${why} |`;
}

function notes({ notes: lines }: WordedCheck): readonly string[] {
  return lines.length === 0 ? [] : ["", ...lines.map((line) => `- ${escaped(sanitizeLine(line))}`)];
}
