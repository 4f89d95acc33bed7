import { outlinePlan } from "./outline.js";
import { renderBenchPage, renderList, renderText } from "./page.js";
import {
  formatBasis,
  formatItemTitle,
  formatLegend,
  formatTime,
  listDangerLines,
} from "./phrases.js";
import { formatPlanVerdict } from "./text.js";
import type { Plan } from "./worded.js";

/** The worklist as a page for the bench. */
export function renderPlanHtml(plan: Plan): string {
  const legend = formatLegend(plan);
  return renderBenchPage({
    title: `Worklist, ${plan.desk}, ${plan.date}`,
    head: [
      ...listDangerLines(plan).flatMap(({ head, advice }) => [
        `<div class="caution"><p><strong>${renderText(head)}</strong></p>`,
        ...renderList(advice),
        "</div>",
      ]),
      `<p>From ${renderText(formatBasis(plan))}.${plan.steps.length > 0 ? ` Time: ${renderText(formatTime(plan.minutes, plan.hours))}.` : ""}</p>`,
      `<p><strong>${renderText(formatPlanVerdict(plan))}</strong></p>`,
      ...(legend === undefined ? [] : [`<p>${renderText(legend)}</p>`]),
    ],
    sections: outlinePlan(plan),
    tail: leftLines(plan),
  });
}

function leftLines({ left }: Plan): readonly string[] {
  if (left.length === 0) return [];
  return [
    "<h2>Left for another time</h2>",
    ...renderList(
      left.map(({ item, why }) => `strip ${item.strip}, ${formatItemTitle(item)}: ${why}`),
    ),
  ];
}
