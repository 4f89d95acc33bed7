import type { Outcome, Retest } from "../service/plan/retest.js";
import { formatCount } from "../text/format-count.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

const order: readonly Outcome[] = [
  "new fault",
  "worse",
  "unchanged",
  "better",
  "not shown",
  "mended",
];

/** What a re-test showed, the worst first. */
export function renderRetest(
  retest: Retest,
  closed: readonly string[],
  style: ReportStyle,
): string {
  const { strong, good, bad, doubt } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const paint = (outcome: Outcome) =>
    outcome === "mended" ? good : outcome === "new fault" || outcome === "worse" ? bad : doubt;
  const items = [...retest.items].sort(
    (a, b) => order.indexOf(a.outcome) - order.indexOf(b.outcome),
  );
  const lines = [
    strong(`${retest.desk}, re-test ${retest.round}, against round ${retest.against}`),
    "",
    ...wrapText(verdict(retest), width).map((line) => strong(line)),
    "",
    ...retest.notes.flatMap((text) => wrapText(text, width)),
  ];
  for (const { strip, name, outcome, figures, staysOpen } of items) {
    const [first, ...rest] = wrapText(
      `strip ${strip}: ${name}`,
      width,
      outcome.padEnd(11),
      " ".repeat(11),
    );
    lines.push(paint(outcome)(first.slice(0, 10)) + first.slice(10), ...rest);
    for (const figure of figures)
      lines.push(...wrapText(figure, width, " ".repeat(11), " ".repeat(13)));
    if (outcome === "mended" && staysOpen.length > 0) {
      const text = `${staysOpen.join(", ")} stays open: only use proves it gone; then close it by hand`;
      lines.push(...wrapText(text, width, " ".repeat(11), " ".repeat(13)));
    }
  }
  lines.push("");
  if (items.some(({ outcome }) => outcome === "new fault")) {
    lines.push(
      ...wrapText(
        "A new fault that stays belongs into the notebook (`deskround note add`): the next plan knows only the whole round and the notebook.",
        width,
      ),
    );
  }
  if (closed.length > 0) lines.push(`Closed in the notebook: ${closed.join(", ")}.`);
  if (retest.unmeasured.length > 0) {
    lines.push(...wrapText(`Not measured: ${retest.unmeasured.join(", ")}.`, width));
  }
  return [...lines, ""].join("\n");
}

function verdict({ items, measured, unmeasured }: Retest): string {
  const counts = order
    .map((outcome) => ({ outcome, count: items.filter((item) => item.outcome === outcome).length }))
    .filter(({ count }) => count > 0)
    .map(
      ({ outcome, count }) =>
        `${count} ${outcome}${outcome === "new fault" && count > 1 ? "s" : ""}`,
    );
  const open = items.some(({ outcome }) => outcome !== "mended" && outcome !== "not shown");
  const what = counts.length === 0 ? "Nothing of the plan was on these strips" : counts.join(", ");
  const ready =
    open || unmeasured.length > 0
      ? "Look again before the desk is closed"
      : "The desk can be closed";
  return `${what}; ${formatCount(measured, "path")} measured. ${ready}.`;
}
