import { outlinePlan } from "./outline.js";
import { renderBenchPage, renderInlineText, renderList } from "./page.js";
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

/** The worklist as a page for the bench. */
export function renderPlanHtml(plan: WordedPlan): string {
  const legend = formatLegend(plan);
  return renderBenchPage({
    title: `Worklist, ${plan.desk}, ${plan.date}`,
    head: [
      ...listDangerLines(plan).flatMap(({ head, advice }) => [
        `<div class="caution"><p><strong>${renderInlineText(head)}</strong></p>`,
        ...renderList(advice),
        "</div>",
      ]),
      `<p>From ${renderInlineText(formatBasis(plan))}.${isOpened(plan) ? ` Time: ${renderInlineText(formatTime(plan.minutes, plan.hours))}.` : ""}</p>`,
      `<p><strong>${renderInlineText(formatPlanVerdict(plan))}</strong></p>`,
      ...(legend === undefined ? [] : [`<p>${renderInlineText(legend)}</p>`]),
    ],
    sections: outlinePlan(plan),
    tail: leftLines(plan),
  });
}

function leftLines({ left }: WordedPlan): readonly string[] {
  if (left.length === 0) return [];
  return [
    "<h2>Left for another time</h2>",
    ...renderList(
      left.map(({ item, why }) => `strip ${item.strip}, ${formatItemTitle(item)}: ${why}`),
    ),
  ];
}
