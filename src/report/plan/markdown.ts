import { sanitizeLine } from "../sanitize.js";
import { outlinePlan, type PlanLine, type PlanSection } from "./outline.js";
import {
  formatBasis,
  formatItemTitle,
  formatLegend,
  formatTime,
  isOpened,
  listDangerLines,
} from "./phrases.js";
import { formatPlanVerdict } from "./text.js";
import type { WordedPlan } from "./worded.js";

/** The worklist as Markdown, with boxes to tick. */
export function renderPlanMarkdown(plan: WordedPlan): string {
  const legend = formatLegend(plan);
  const lines: string[] = [
    `# Worklist, ${md(plan.desk)}, ${plan.date}`,
    "",
    ...listDangerLines(plan).flatMap(({ head, advice }) => [
      `**${md(head)}**`,
      "",
      ...advice.map((text) => `- ${md(text)}`),
      "",
    ]),
    `From ${md(formatBasis(plan))}.`,
    ...(isOpened(plan) ? [`Time: ${formatTime(plan.minutes, plan.hours)}.`] : []),
    "",
    `**${md(formatPlanVerdict(plan))}**`,
    ...(legend === undefined ? [] : ["", md(legend)]),
  ];
  const heading = (text: string) => lines.push("", text, "");
  lines.push(...renderMarkdownSections(outlinePlan(plan)));
  if (plan.left.length > 0) {
    heading("## Left for another time");
    for (const { item, why } of plan.left) {
      lines.push(`- strip ${md(item.strip)}, ${md(formatItemTitle(item))}: ${md(why)}`);
    }
  }
  return [...lines, ""].join("\n");
}

/** Sections of a plan as Markdown. */
export function renderMarkdownSections(sections: readonly PlanSection[]): readonly string[] {
  return sections.flatMap((section) => [
    "",
    `## ${md(section.title)}`,
    "",
    ...(section.power === undefined ? [] : [`**Power: ${md(section.power)}**`, ""]),
    ...section.lines.flatMap(renderLine),
  ]);
}

function renderLine(line: PlanLine): readonly string[] {
  if (line.kind === "text") return ["", md(line.text)];
  if (line.kind === "point") return [`- ${md(line.text)}`];
  if (line.kind === "caution") return [`- **!** ${md(line.text)}`];
  if (line.kind === "group") {
    return ["", `### ${md(line.title)}`, "", ...line.lines.flatMap(renderLine)];
  }
  const text = line.head ? `**${md(line.text)}**` : md(line.text);
  return [
    `- [ ] ${text}`,
    ...(line.details ?? []).map(
      ([label, words]) => `  - ${label === "" ? "" : `*${label}*: `}${md(words)}`,
    ),
  ];
}

/** A text on one line in which nothing is read as Markdown or HTML. */
export function md(text: string): string {
  return sanitizeLine(text).replace(/[\\`*_[\]<>#|~&]/g, (sign) => `\\${sign}`);
}
