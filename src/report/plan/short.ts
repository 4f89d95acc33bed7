import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import { formatItemTitle, formatTime, listDangerLines } from "./phrases.js";
import { formatPlanVerdict } from "./text.js";
import type { WordedPlan } from "./worded.js";

/** The worklist in a few lines: what to pull, why, and how long it takes. */
export function renderPlanShort(plan: WordedPlan, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const strips = plan.steps.filter((step) => step.kind === "strip");
  const stripWidth = Math.max(...strips.map(({ strip }) => strip.length), 1);
  const head = (strip: string) => `  strip ${strip.padStart(stripWidth)}  `;
  const parts = plan.parts.reduce((sum, { count }) => sum + count, 0);
  const opening =
    strips.length === 0
      ? []
      : [
          `Opening: ${formatTime(plan.minutes, plan.hours)}, ${formatCount(parts, "part")} to have ready.`,
        ];
  return [
    strong("The worklist for the next opening"),
    ...listDangerLines(plan).flatMap(({ head, advice }) =>
      [head, ...advice].flatMap((text) => wrapText(text, width, "  !  ", "     ")),
    ),
    ...wrapText(formatPlanVerdict(plan), width),
    ...strips.flatMap(({ strip, items }) =>
      items.flatMap((item, k) => {
        const first = k === 0 ? head(strip) : " ".repeat(head(strip).length);
        return wrapText(formatItemTitle(item), width, first, " ".repeat(head(strip).length));
      }),
    ),
    ...opening,
    ...wrapText(`All of it: ${formatCommand("plan")}`, width),
    "",
  ].join("\n");
}
