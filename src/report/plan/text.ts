import type { Plan } from "../../service/plan/types.js";
import { palette, type ReportStyle } from "../style.js";
import { wrap } from "../wrap.js";
import {
  ageingWords,
  itemLines,
  itemTitle,
  outsideWords,
  partText,
  reminders,
  standsOn,
  stripTail,
  stripTitle,
  timeWords,
} from "./words.js";

/** The worklist as plain text. */
export function renderPlan(plan: Plan, style: ReportStyle): string {
  const { strong, doubt, quiet } = palette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const bullet = (text: string, indent = "  ") => wrap(text, width, `${indent}- `, `${indent}  `);
  const lines: string[] = [
    strong(`Worklist, ${plan.desk}, ${plan.date}`),
    ...wrap(standsOn(plan), width, "from   ", "       "),
  ];
  if (plan.steps.length > 0) lines.push(`time   ${timeWords(plan.minutes, plan.hours)}`);
  lines.push("", ...wrap(verdict(plan), width).map((line) => strong(line)));
  if (plan.outside.length > 0) {
    lines.push("", strong("WITHOUT OPENING THE DESK"));
    for (const { place, name, todo, kind } of plan.outside) {
      lines.push(...wrap(`${place}  ${outsideWords[kind]}: ${name}`, width, "[ ] ", "    "));
      lines.push(...wrap(todo, width, "      "));
    }
  }
  for (const remark of plan.remarks) lines.push("", ...wrap(remark, width));
  if (plan.steps.length > 0) {
    lines.push("", doubt("BEFORE A SCREW IS TURNED"));
    for (const caution of plan.cautions) lines.push(...wrap(caution, width, "  !  ", "     "));
    if (plan.parts.length > 0) {
      lines.push("", strong("ON THE BENCH"));
      for (const part of plan.parts) {
        lines.push(
          ...wrap(`${partText(part)} (strip ${part.strips.join(", ")})`, width, "[ ] ", "      "),
        );
      }
    }
    lines.push("", strong(`OPEN THE DESK, ${plan.openMinutes} min with closing`));
    for (const text of reminders.open) lines.push(...bullet(text));
    for (const step of plan.steps) {
      if (step.kind === "off") {
        const { name, kind, minutes } = step.part;
        lines.push("", strong(`OFF: ${name}, ${minutes} min off and on`));
        for (const text of reminders.off[kind]) lines.push(...bullet(text));
        continue;
      }
      lines.push("", strong(stripTitle(step)));
      for (const text of reminders.strip) lines.push(...bullet(text));
      for (const item of step.items) {
        lines.push(...wrap(itemTitle(item), width, "  [ ] ", "      "));
        for (const [label, text] of itemLines(item)) {
          lines.push(...wrap(text, width, `      ${label.padEnd(11)}`, " ".repeat(17)));
        }
      }
      for (const text of stripTail(step)) lines.push(...wrap(text, width, "  [ ] ", "      "));
    }
    lines.push("", strong("BEFORE IT IS CLOSED"));
    for (const text of reminders.close) lines.push(...bullet(text));
  }
  if (plan.left.length > 0) {
    lines.push("", strong("LEFT FOR ANOTHER TIME"));
    for (const { item, why } of plan.left) {
      lines.push(...wrap(`strip ${item.strip}, ${itemTitle(item)}: ${why}`, width, "  - ", "    "));
    }
  }
  if (plan.ageing.length > 0) {
    const words = ageingWords(plan.ageing, plan.strips);
    lines.push(
      "",
      ...wrap(
        `Electrolytics come due by rule of thumb (common practice): ${words}. What the rounds show goes before.`,
        width,
      ).map((line) => quiet(line)),
    );
  }
  return [...lines, ""].join("\n");
}

/** The plan in one sentence. */
export function verdict({ steps, outside, left }: Plan): string {
  const strips = steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
  const parts: string[] = [];
  if (strips.length > 0)
    parts.push(`Pull strip${strips.length === 1 ? "" : "s"} ${strips.join(", ")}`);
  if (outside.length > 0) {
    parts.push(
      `${outside.length} thing${outside.length === 1 ? "" : "s"} to settle without opening`,
    );
  }
  if (left.length > 0) parts.push(`${left.length} left for another time`);
  if (strips.length === 0 && left.length === 0) parts.push("nothing calls for opening the desk");
  const text = parts.join("; ");
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}.`;
}
