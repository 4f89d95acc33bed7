import type { Check, PathCheck } from "../../service/limits/types.js";
import { escapedMarkdown as escaped } from "../markdown.js";
import { visible } from "../visible.js";
import type { RenderCheck } from "./render-check.js";
import { countLine, pathsWith, reasonLines, titleLine, verdictLine } from "./words.js";

/** A summary for the page of a build: verdict, a table of what did not pass, counts. */
export const renderMarkdown: RenderCheck = (check) =>
  [
    `## ${escaped(verdictLine(check))}`,
    "",
    escaped(titleLine(check)),
    "",
    ...problems(check),
    escaped(countLine(check)),
    ...notes(check),
    "",
  ].join("\n");

function problems(check: Check): readonly string[] {
  const rows = (["fail", "undecided", "incomplete"] as const).flatMap((verdict) =>
    pathsWith(check, verdict).map((path) => row(path)),
  );
  if (rows.length === 0) return [];
  return ["| path | verdict | why |", "| --- | --- | --- |", ...rows, ""];
}

function row(path: PathCheck): string {
  const why = reasonLines(path).map(escaped).join("<br>");
  return `| ${escaped(visible(path.path))} | ${path.verdict} | ${why} |`;
}

function notes({ notes: lines }: Check): readonly string[] {
  return lines.length === 0 ? [] : ["", ...lines.map((line) => `- ${escaped(visible(line))}`)];
}
