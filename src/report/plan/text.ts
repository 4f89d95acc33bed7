import { capitalize } from "../../text/capitalize.js";
import { formatDangerHead } from "../danger.js";
import { formatSharedFault } from "../shared/format-shared.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import { nameStrips } from "./name-strips.js";
import { outlinePlan, type PlanLine, type PlanSection } from "./outline.js";
import {
  formatAgeing,
  formatBasis,
  formatItemTitle,
  formatLegend,
  formatTime,
  formatUntold,
  isOpened,
  listDangerLines,
} from "./phrases.js";
import type { WordedPlan } from "./worded.js";

/** The worklist as plain text. */
export function renderPlan(plan: WordedPlan, style: ReportStyle): string {
  const { strong, bad, quiet } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const lines: string[] = [strong(`Worklist, ${plan.desk}, ${plan.date}`)];
  for (const { head, advice } of listDangerLines(plan)) {
    lines.push("", ...wrapText(head, width, "  !  ", "     ").map((line) => bad(line)));
    for (const text of advice) lines.push(...wrapText(text, width, "     ", "     "));
  }
  if (plan.dangers !== undefined) lines.push("");
  lines.push(...wrapText(formatBasis(plan), width, "from   ", "       "));
  if (isOpened(plan)) lines.push(`time   ${formatTime(plan.minutes, plan.hours)}`);
  lines.push("", ...wrapText(formatPlanVerdict(plan), width).map((line) => strong(line)));
  const legend = formatLegend(plan);
  if (legend !== undefined) lines.push("", ...wrapText(legend, width).map((line) => quiet(line)));
  lines.push(...renderSections(outlinePlan(plan), style));
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

/** Sections of a plan, each with the state of power that it is worked through in. */
export function renderSections(
  sections: readonly PlanSection[],
  style: ReportStyle,
): readonly string[] {
  const { strong, doubt } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  return sections.flatMap((section) => [
    "",
    strong(section.title.toUpperCase()),
    ...(section.power === undefined
      ? []
      : wrapText(section.power, width, "power  ", "       ").map((line) => doubt(line))),
    ...section.lines.flatMap((line) => renderLine(line, width, strong)),
  ]);
}

/** Columns of the words that say what a line under an item is. */
const labelWidth = 11;

function renderLine(
  line: PlanLine,
  width: number,
  strong: (text: string) => string,
): readonly string[] {
  if (line.kind === "text") return wrapText(line.text, width, "  ", "  ");
  if (line.kind === "point") return wrapText(line.text, width, "  - ", "    ");
  if (line.kind === "caution") return wrapText(line.text, width, "  !  ", "     ");
  if (line.kind === "group") {
    const inner = line.lines.flatMap((one) => renderLine(one, width, strong));
    return ["", ...wrapText(line.title, width).map((one) => strong(one)), ...inner];
  }
  const { text, details = [] } = line;
  const indent = details.some(([label]) => label !== "") ? labelWidth : 0;
  return [
    ...wrapText(text, width, "[ ] ", "    "),
    ...details.flatMap(([label, words]) =>
      wrapText(words, width, `    ${label.padEnd(indent)}`, " ".repeat(4 + indent)),
    ),
  ];
}

/** The plan in one sentence. */
export function formatPlanVerdict({
  steps,
  outside,
  left,
  shared = [],
  dangers = [],
  places = [],
  notPlanned = [],
  loudTogether = [],
  untold = [],
}: WordedPlan): string {
  const strips = steps.flatMap((step) => (step.kind === "strip" ? [step.strip] : []));
  const parts = [
    ...dangers.map((one) => `${formatDangerHead(one)}: leave the power off`),
    ...shared.map((job) => `first ${formatSharedFault(job)}`),
    ...loudTogether.map((paths) => `first find out which of ${paths.join(", ")} is too loud`),
    ...(places.length === 0 ? [] : [`first ${places.map(({ section }) => section).join(", ")}`]),
  ];
  const sound =
    dangers.length +
      shared.length +
      places.length +
      notPlanned.length +
      loudTogether.length +
      outside.filter((one) => one.measured).length ===
    0;
  if (strips.length > 0)
    parts.push(`${parts.length > 0 ? "then pull" : "Pull"} ${nameStrips(strips)}`);
  if (outside.length > 0) {
    parts.push(`${outside.length} check${outside.length === 1 ? "" : "s"} to do before opening`);
  }
  if (left.length > 0) parts.push(`${left.length} left for another time`);
  if (strips.length === 0 && left.length === 0) {
    if (!sound) parts.push("no strip needs pulling yet");
    else if (untold.length === 0) parts.push("nothing calls for opening the desk");
    else {
      const why = untold.map(formatUntold).join("; ");
      parts.push(`whether the desk has to be opened cannot be told: ${why}`);
    }
  }
  const text = parts.join("; ");
  return `${capitalize(text)}.`;
}
