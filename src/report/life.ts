import type { StripLife } from "../service/plan/life.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

/** The life of a strip, oldest first. */
export function renderLife(desk: string, life: StripLife, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const lines = [strong(`Strip ${life.strip} of ${desk}`), ""];
  if (life.events.length === 0) lines.push("Nothing is known about it yet: no round, no note.");
  return [...lines, ...listLifeLines(life, width), ""].join("\n");
}

/** What happened to a strip, the parts it took, where its readings go. */
export function listLifeLines(
  { events, parts, trends, ageing }: StripLife,
  width: number,
): readonly string[] {
  const lines: string[] = [];
  for (const { date, kind, words } of events) {
    lines.push(...wrapText(words, width, `${date}  ${kind.padEnd(8)} `, " ".repeat(21)));
  }
  if (parts.length > 0) {
    const words = parts.map(({ what, count }) => `${count} × ${what}`).join(", ");
    lines.push("", ...wrapText(`Parts so far: ${words}.`, width));
  }
  if (trends.length > 0 || ageing !== undefined) lines.push("");
  for (const text of trends) lines.push(...wrapText(text, width, "trend    ", "         "));
  if (ageing !== undefined) {
    const text = `electrolytics of ${ageing.since}: due about ${ageing.due}, after ${ageing.years} years, by rule of thumb (common practice)`;
    lines.push(...wrapText(text, width, "ageing   ", "         "));
  }
  return lines;
}
