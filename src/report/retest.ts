import type { Outcome, Retest } from "../service/retest/types.js";
import { formatCount } from "../text/format-count.js";
import { formatCommand } from "../text/program-name.js";
import { formatCondition } from "./conditions/format-condition.js";
import { formatGate, formatGateReason, formatSharedChange, formatSharedOutcome } from "./gate.js";
import { formatItemName } from "./plan/word-plan.js";
import { formatRetestFigure } from "./retest-figures.js";
import { createPalette, type ReportStyle } from "./style.js";
import { wrapText } from "./wrap.js";

const order: readonly Outcome[] = [
  "new fault",
  "worse",
  "unchanged",
  "better",
  "cannot tell",
  "not shown",
  "mended",
];

/** Words for the outcomes that are not printed as their keys. */
const outcomeWords: Partial<Record<Outcome, string>> = { mended: "fixed" };

function formatOutcome(outcome: Outcome): string {
  return outcomeWords[outcome] ?? outcome;
}

/** What a re-test showed: whether the desk can be closed, or why not; then item by item. */
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
    ...wrapText(formatGate(retest.gate), width).map((line) => strong(line)),
    ...retest.gate.reasons.flatMap((reason) =>
      wrapText(formatGateReason(reason), width, "  - ", "    "),
    ),
    "",
    ...wrapText(formatCounts(retest), width),
    ...retest.conditions.flatMap((one) => wrapText(formatCondition(one), width)),
    ...withinLines(retest, width),
    ...sharedFaultLines(retest, width),
    "",
  ];
  for (const { strip, name, outcome, figures, staysOpen } of items) {
    const [first, ...rest] = wrapText(
      `strip ${strip}: ${formatItemName(name)}`,
      width,
      formatOutcome(outcome).padEnd(indent),
      " ".repeat(indent),
    );
    lines.push(paint(outcome)(first.slice(0, indent - 1)) + first.slice(indent - 1), ...rest);
    for (const figure of figures)
      lines.push(
        ...wrapText(formatRetestFigure(figure), width, " ".repeat(indent), " ".repeat(indent + 2)),
      );
    if (outcome === "mended" && staysOpen.length > 0) {
      const text = `${staysOpen.join(", ")} stays open (intermittent): close it when use has proved it fixed`;
      lines.push(...wrapText(text, width, " ".repeat(indent), " ".repeat(indent + 2)));
    }
  }
  if (items.length > 0) lines.push("");
  if (items.some(({ outcome }) => outcome === "new fault")) {
    lines.push(
      ...wrapText(
        `Note any new fault that you leave unrepaired (\`${formatCommand("note add")}\`): the next plan uses only whole rounds and the notebook.`,
        width,
      ),
    );
  }
  if (closed.length > 0) lines.push(`Closed in the notebook: ${closed.join(", ")}.`);
  return [...lines, ""].join("\n");
}

const indent = 13;

function formatCounts({ items, measured }: Retest): string {
  const counts = order
    .map((outcome) => ({ outcome, count: items.filter((item) => item.outcome === outcome).length }))
    .filter(({ count }) => count > 0)
    .map(
      ({ outcome, count }) =>
        `${count} ${formatOutcome(outcome)}${outcome === "new fault" && count > 1 ? "s" : ""}`,
    );
  const what = counts.length === 0 ? "The plan had nothing on these strips" : counts.join(", ");
  return `${what}; ${formatCount(measured, "path")} measured.`;
}

/** Faults of shared parts from the earlier round that do not keep the desk open. */
function sharedFaultLines({ sharedFaults = [], gate }: Retest, width: number): readonly string[] {
  const told = gate.reasons.flatMap((reason) => ("shared" in reason ? [reason.shared] : []));
  const rest = sharedFaults.filter((one) => !told.includes(one));
  return rest.flatMap((one) => wrapText(`Shared: ${formatSharedOutcome(one)}.`, width));
}

/** Changes common to all paths that do not keep the desk open. */
function withinLines({ shared }: Retest, width: number): readonly string[] {
  const within = shared.filter(({ standing }) => standing === "within");
  const lines = within.map((change) => `${formatSharedChange(change)}.`);
  return lines.length === 0
    ? []
    : ["Common to all paths, within the bounds, and subtracted from each:", ...lines].flatMap(
        (text, k) => (k === 0 ? wrapText(text, width) : wrapText(text, width, "  - ", "    ")),
      );
}
