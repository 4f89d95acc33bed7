import type { Plan } from "../../service/plan/types.js";
import { formatDangerHead } from "../danger.js";
import { formatSharedFault, formatSharedLook } from "../shared/format-shared.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import {
  formatAgeing,
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

/** The worklist as plain text. */
export function renderPlan(plan: Plan, style: ReportStyle): string {
  const { strong, doubt, bad, quiet } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const bullet = (text: string, indent = "  ") =>
    wrapText(text, width, `${indent}- `, `${indent}  `);
  const lines: string[] = [strong(`Worklist, ${plan.desk}, ${plan.date}`)];
  for (const { head, advice } of listDangerLines(plan)) {
    lines.push("", ...wrapText(head, width, "  !  ", "     ").map((line) => bad(line)));
    for (const text of advice) lines.push(...wrapText(text, width, "     ", "     "));
  }
  if (plan.dangers !== undefined) lines.push("");
  lines.push(...wrapText(formatBasis(plan), width, "from   ", "       "));
  if (plan.steps.length > 0) lines.push(`time   ${formatTime(plan.minutes, plan.hours)}`);
  lines.push("", ...wrapText(formatPlanVerdict(plan), width).map((line) => strong(line)));
  if (plan.shared !== undefined) {
    lines.push("", strong("FIRST, WHAT SEVERAL PATHS SHARE"));
    for (const job of plan.shared) {
      lines.push(...wrapText(formatSharedFault(job), width, "[ ] ", "    "));
      lines.push(...wrapText(formatSharedLook(job), width, "      "));
    }
    lines.push(...wrapText(sharedReminder, width, "  ", "  "));
  }
  if (plan.outside.length > 0) {
    lines.push("", strong("WITHOUT OPENING THE DESK"));
    for (const { place, name, todo, kind } of plan.outside) {
      lines.push(...wrapText(`${place}  ${outsidePhrases[kind]}: ${name}`, width, "[ ] ", "    "));
      lines.push(...wrapText(todo, width, "      "));
    }
  }
  for (const remark of plan.remarks) lines.push("", ...wrapText(remark, width));
  if (plan.steps.length > 0) {
    lines.push("", doubt("BEFORE A SCREW IS TURNED"));
    for (const caution of plan.cautions) lines.push(...wrapText(caution, width, "  !  ", "     "));
    if (plan.parts.length > 0) {
      lines.push("", strong("ON THE BENCH"));
      for (const part of plan.parts) {
        lines.push(
          ...wrapText(
            `${formatPart(part)} (strip ${part.strips.join(", ")})`,
            width,
            "[ ] ",
            "      ",
          ),
        );
      }
    }
    lines.push("", strong(`OPEN THE DESK, ${plan.openMinutes} min with closing`));
    for (const text of reminders.open) lines.push(...bullet(text));
    const live = listLiveWork(plan);
    if (live.length > 0) {
      lines.push("", doubt("OPEN AND UNDER POWER, EVERY STRIP STILL IN ITS PLACE"));
      for (const text of reminders.live) lines.push(...wrapText(text, width, "  !  ", "     "));
      for (const { strip, title, text } of live) {
        lines.push(...wrapText(`strip ${strip}, ${title}`, width, "  [ ] ", "      "));
        lines.push(...wrapText(text, width, "      "));
      }
      for (const text of reminders.dead) lines.push(...wrapText(text, width, "  [ ] ", "      "));
    }
    for (const step of plan.steps) {
      if (step.kind === "off") {
        const { name, kind, minutes } = step.part;
        lines.push("", strong(`OFF: ${name}, ${minutes} min off and on`));
        for (const text of reminders.off[kind]) lines.push(...bullet(text));
        continue;
      }
      lines.push("", strong(formatStripTitle(step)));
      for (const text of reminders.strip) lines.push(...bullet(text));
      for (const item of step.items) {
        lines.push(...wrapText(formatItemTitle(item), width, "  [ ] ", "      "));
        for (const [label, text] of formatItemLines(item)) {
          lines.push(...wrapText(text, width, `      ${label.padEnd(11)}`, " ".repeat(17)));
        }
      }
      for (const text of formatStripTail(step))
        lines.push(...wrapText(text, width, "  [ ] ", "      "));
    }
    lines.push("", strong("BEFORE IT IS CLOSED"));
    for (const text of listCloseReminders(plan)) lines.push(...bullet(text));
  }
  if (plan.left.length > 0) {
    lines.push("", strong("LEFT FOR ANOTHER TIME"));
    for (const { item, why } of plan.left) {
      lines.push(
        ...wrapText(`strip ${item.strip}, ${formatItemTitle(item)}: ${why}`, width, "  - ", "    "),
      );
    }
  }
  if (plan.ageing.length > 0) {
    const words = formatAgeing(plan.ageing, plan.strips);
    lines.push(
      "",
      ...wrapText(
        `Electrolytics come due by rule of thumb (common practice): ${words}. Measured results take precedence.`,
        width,
      ).map((line) => quiet(line)),
    );
  }
  return [...lines, ""].join("\n");
}

/** The plan in one sentence. */
export function formatPlanVerdict({
  steps,
  outside,
  left,
  shared = [],
  dangers = [],
}: Plan): string {
  const strips = steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
  const parts = [
    ...dangers.map((one) => `${formatDangerHead(one)}: leave the power off`),
    ...shared.map((job) => `first ${formatSharedFault(job)}`),
  ];
  const sound = dangers.length + shared.length + outside.filter((one) => one.measured).length === 0;
  if (strips.length > 0)
    parts.push(
      `${parts.length > 0 ? "then pull" : "Pull"} strip${strips.length === 1 ? "" : "s"} ${strips.join(", ")}`,
    );
  if (outside.length > 0) {
    parts.push(
      `${outside.length} thing${outside.length === 1 ? "" : "s"} to settle without opening`,
    );
  }
  if (left.length > 0) parts.push(`${left.length} left for another time`);
  if (strips.length === 0 && left.length === 0) {
    parts.push(sound ? "nothing calls for opening the desk" : "no strip is to be pulled yet");
  }
  const text = parts.join("; ");
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
