import type { Plan } from "../../service/plan/types.js";
import { planCommand } from "../commands.js";
import { counted } from "../figures.js";
import { palette, type ReportStyle } from "../style.js";
import { wrap } from "../wrap.js";
import { verdict } from "./text.js";
import { itemTitle, timeWords } from "./words.js";

/**
 * The worklist in a few lines: what is pulled, for what, how long it takes.
 *
 * @param desk folder of the desk, for the command that prints all of it
 */
export function renderPlanShort(plan: Plan, desk: string, style: ReportStyle): string {
  const { strong } = palette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const strips = plan.steps.filter((step) => step.kind === "strip");
  const stripWidth = Math.max(...strips.map(({ strip }) => strip.length), 1);
  const head = (strip: string) => `  strip ${strip.padStart(stripWidth)}  `;
  const parts = plan.parts.reduce((sum, { count }) => sum + count, 0);
  const opening =
    strips.length === 0
      ? []
      : [
          `Opening: ${timeWords(plan.minutes, plan.hours)}, ${counted(parts, "part")} to have ready.`,
        ];
  return [
    strong("The worklist for the next opening"),
    ...wrap(verdict(plan), width),
    ...strips.flatMap(({ strip, items }) =>
      items.flatMap((item, k) => {
        const first = k === 0 ? head(strip) : " ".repeat(head(strip).length);
        return wrap(itemTitle(item), width, first, " ".repeat(head(strip).length));
      }),
    ),
    ...opening,
    ...wrap(`All of it: ${planCommand(desk)}`, width),
    "",
  ].join("\n");
}
