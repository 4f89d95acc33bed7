import type { Plan } from "../../service/plan/types.js";
import { sanitizeLine } from "../sanitize.js";
import { outlinePlan, type PlanLine } from "./outline.js";
import { formatBasis, formatItemTitle, formatTime, listDangerLines } from "./phrases.js";
import { formatPlanVerdict } from "./text.js";

/** The worklist as Markdown, with boxes to tick. */
export function renderPlanMarkdown(plan: Plan): string {
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
    ...(plan.steps.length > 0 ? [`Time: ${formatTime(plan.minutes, plan.hours)}.`] : []),
    "",
    `**${md(formatPlanVerdict(plan))}**`,
  ];
  const heading = (text: string) => lines.push("", text, "");
  for (const section of outlinePlan(plan)) {
    heading(`## ${md(section.title)}`);
    if (section.power !== undefined) lines.push(`**Power: ${md(section.power)}**`, "");
    lines.push(...section.lines.flatMap(renderLine));
  }
  if (plan.left.length > 0) {
    heading("## Left for another time");
    for (const { item, why } of plan.left) {
      lines.push(`- strip ${md(item.strip)}, ${md(formatItemTitle(item))}: ${md(why)}`);
    }
  }
  return [...lines, ""].join("\n");
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
function md(text: string): string {
  return sanitizeLine(text).replace(/[\\`*_[\]<>#|~&]/g, (sign) => `\\${sign}`);
}
