import type { Plan } from "../../service/plan/types.js";
import { sanitizeLine } from "../sanitize.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import {
  formatBasis,
  formatItemLines,
  formatItemTitle,
  formatPart,
  formatStripTail,
  formatStripTitle,
  formatTime,
  listCloseReminders,
  listDangerLines,
  listLiveWork,
  outsidePhrases,
  reminders,
  sharedReminder,
} from "./phrases.js";
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
  if (plan.shared !== undefined) {
    heading("## First, what several paths share");
    for (const job of plan.shared) {
      lines.push(`- [ ] **${md(formatSharedFault(job))}**: ${md(formatSharedLook(job))}`);
    }
    lines.push("", md(sharedReminder));
  }
  if (plan.outside.length > 0) {
    heading("## Without opening the desk");
    for (const { place, name, todo, kind } of plan.outside) {
      lines.push(`- [ ] **${md(place)}** ${outsidePhrases[kind]}: ${md(name)}: ${md(todo)}`);
    }
  }
  for (const remark of plan.remarks) lines.push("", md(remark));
  if (plan.steps.length > 0) {
    heading("## Before a screw is turned");
    for (const caution of plan.cautions) lines.push(`- ${md(caution)}`);
    if (plan.parts.length > 0) {
      heading("## On the bench");
      for (const part of plan.parts) {
        lines.push(`- [ ] ${md(formatPart(part))} (strip ${md(part.strips.join(", "))})`);
      }
    }
    heading(`## Open the desk (${plan.openMinutes} min with closing)`);
    for (const text of reminders.open) lines.push(`- ${md(text)}`);
    const live = listLiveWork(plan);
    if (live.length > 0) {
      heading("## Open and under power, every strip still in its place");
      for (const text of reminders.live) lines.push(`- ${md(text)}`);
      for (const { strip, title, text } of live) {
        lines.push(`- [ ] **strip ${md(strip)}, ${md(title)}** ${md(text)}`);
      }
      for (const text of reminders.dead) lines.push(`- [ ] ${md(text)}`);
    }
    for (const step of plan.steps) {
      if (step.kind === "off") {
        heading(`### Off: ${md(step.part.name)} (${step.part.minutes} min off and on)`);
        for (const text of reminders.off[step.part.kind]) lines.push(`- ${md(text)}`);
        continue;
      }
      heading(`### ${md(formatStripTitle(step))}`);
      for (const text of reminders.strip) lines.push(`- ${md(text)}`);
      for (const item of step.items) {
        lines.push(`- [ ] **${md(formatItemTitle(item))}**`);
        for (const [label, text] of formatItemLines(item)) {
          lines.push(`  - ${label === "" ? "" : `*${label}*: `}${md(text)}`);
        }
      }
      for (const text of formatStripTail(step)) lines.push(`- [ ] ${md(text)}`);
    }
    heading("## Before it is closed");
    for (const text of listCloseReminders(plan)) lines.push(`- [ ] ${text}`);
  }
  if (plan.left.length > 0) {
    heading("## Left for another time");
    for (const { item, why } of plan.left) {
      lines.push(`- strip ${md(item.strip)}, ${md(formatItemTitle(item))}: ${md(why)}`);
    }
  }
  return [...lines, ""].join("\n");
}

/** A text on one line in which nothing is read as Markdown or HTML. */
function md(text: string): string {
  return sanitizeLine(text).replace(/[\\`*_[\]<>#|~&]/g, (sign) => `\\${sign}`);
}
