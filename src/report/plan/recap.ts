import { workCautions } from "../../service/cautions.js";
import type { CapacitorDrift, RecapPart, RecapPlan, RecapStrip } from "../../service/plan/recap.js";
import { formatCount } from "../../text/format-count.js";
import { formatCommand } from "../../text/program-name.js";
import { formatCsvTable } from "../csv-row.js";
import { formatMatches } from "../format-stock.js";
import { formatDuration } from "../sheet/phrases.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";
import { md, renderMarkdownSections } from "./markdown.js";
import type { PlanLine, PlanSection } from "./outline.js";
import { renderBenchPage, renderInlineText } from "./page.js";
import {
  chargeCheck,
  chargeCheckAgain,
  listBeforeTrying,
  listColdRules,
  listTrySteps,
  liveRules,
  openedSteps,
  openStep,
  powerWords,
  switchOff,
  tieStep,
} from "./power.js";
import { renderSections } from "./text.js";

/** A plan of new electrolytics, day by day, as text. */
export function renderRecap(plan: RecapPlan, style: ReportStyle): string {
  const { strong, quiet } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  return [
    strong(formatTitle(plan)),
    ...listFacts(plan).flatMap(([label, text]) =>
      wrapText(text, width, label.padEnd(7), "       "),
    ),
    ...renderSections(outlineRecap(plan), style),
    "",
    ...wrapText(thumbRule, width).map((line) => quiet(line)),
    "",
  ].join("\n");
}

/** The same as a page for the bench. */
export function renderRecapHtml(plan: RecapPlan): string {
  return renderBenchPage({
    title: formatTitle(plan),
    head: listFacts(plan).map(
      ([label, text]) => `<p><em>${renderInlineText(label)}</em> ${renderInlineText(text)}</p>`,
    ),
    sections: outlineRecap(plan),
    tail: [`<p>${renderInlineText(thumbRule)}</p>`],
  });
}

/** The same as Markdown, with boxes to tick. */
export function renderRecapMarkdown(plan: RecapPlan): string {
  return [
    `# ${md(formatTitle(plan))}`,
    "",
    ...listFacts(plan).map(([label, text]) => `- *${label}*: ${md(text)}`),
    ...renderMarkdownSections(outlineRecap(plan)),
    "",
    md(thumbRule),
    "",
  ].join("\n");
}

const thumbRule =
  "Minutes for each capacitor and years of life are rules of thumb (common practice, no source); measured results take precedence.";

function formatTitle({ desk, date }: RecapPlan): string {
  return `Recapping, ${desk}, ${date}`;
}

function listFacts(plan: RecapPlan): readonly (readonly [label: string, text: string])[] {
  const { days, cost, unpriced, hoursADay, minutes } = plan;
  const strips = days.flatMap((day) => day.strips);
  const capacitors = strips.reduce((sum, one) => sum + one.capacitors, 0);
  const money = [
    ...(cost === undefined ? [] : [`${cost} for what must be bought`]),
    ...(unpriced.length === 0 ? [] : [`no price is known for ${unpriced.join(", ")}`]),
  ];
  return [
    ["from", plan.round === null ? "by age alone, no round" : `round ${plan.round}`],
    [
      "work",
      `${formatCount(strips.length, "strip")}, ${formatCount(capacitors, "capacitor")}, about ${formatDuration(minutes * 60)} in ${formatCount(days.length, "day")} of ${hoursADay} h`,
    ],
    ...(money.length === 0 ? [] : [["cost", money.join("; ")] as const]),
  ];
}

/** What to do, in order, with a step for every change of power. */
function outlineRecap({ days, parts }: RecapPlan): readonly PlanSection[] {
  const tick = (text: string): PlanLine => ({ kind: "tick", text });
  return [
    { title: "Capacitors", lines: parts.map((part) => tick(formatRecapPart(part))) },
    {
      title: "Before undoing a screw",
      lines: workCautions.map((text): PlanLine => ({ kind: "caution", text })),
    },
    {
      title: "Each day, before the first strip",
      power: powerWords.unplugged,
      lines: [
        ...switchOff("first").map(tick),
        tick(tieStep),
        tick(openStep),
        tick(chargeCheck),
        ...openedSteps.map(tick),
        ...listColdRules("strip").map((text): PlanLine => ({ kind: "point", text })),
      ],
    },
    ...days.map(
      (day, k): PlanSection => ({
        title: `Day ${k + 1}, about ${formatDuration(day.minutes * 60)} with opening and closing`,
        power: powerWords.unplugged,
        lines: [
          {
            kind: "caution",
            text: "fit each capacitor the right way round: a reversed one can burst; its voltage rating must be at least that of the old one",
          },
          ...day.strips.flatMap((one, n): PlanLine[] => [
            {
              kind: "tick",
              head: true,
              text: `strip ${one.strip}: ${formatCount(one.capacitors, "capacitor")}, ${one.minutes} min`,
              details: [...listBoards(one), formatWhy(one)].map((text) => ["", text] as const),
            },
            ...(k === 0 && n === 0
              ? [
                  tick(
                    `do strip ${one.strip} alone first: fit it, measure it again as below, and go on with the others only when it measures as it should`,
                  ),
                ]
              : []),
          ]),
        ],
      }),
    ),
    {
      title: "Each day, after the last strip",
      power: powerWords.unplugged,
      lines: [...listBeforeTrying().map(tick)],
    },
    {
      title: "Each day, try it before closing the desk",
      power: powerWords["powered and open"],
      lines: [
        ...liveRules.map((text): PlanLine => ({ kind: "caution", text })),
        ...listTrySteps().map(tick),
      ],
    },
    {
      title: "Each day, close the desk",
      power: powerWords.unplugged,
      lines: [
        ...switchOff("again").map(tick),
        tick(chargeCheckAgain),
        tick(
          `note each strip that is done, so that its age counts from that day: \`${formatCommand("note done 5 recapped")}\``,
        ),
        tick("put the covers back on in the reverse order, each with all its screws; count them"),
      ],
    },
  ];
}

/** "18 × 10 µF 35 V; set aside in the stores: 16 × electrolytic 10 µF 63 V, 2 to buy". */
export function formatRecapPart({ what, count, reserved, missing, matches }: RecapPart): string {
  const held = reserved === 0 ? "" : `; set aside in the stores: ${formatMatches(matches)}`;
  return `${count} × ${what}${held}${missing > 0 ? `${reserved > 0 ? "," : ";"} ${missing} to buy` : ""}`;
}

function listBoards({ groups }: RecapStrip): readonly string[] {
  const boards = [...new Set(groups.map(({ board }) => board))];
  return boards.map((name) => {
    const own = groups.filter(({ board }) => board === name);
    return `${name}: ${own.map(({ count, what }) => `${count} × ${what}`).join(", ")}`;
  });
}

function formatWhy({ life, hours, drift }: RecapStrip): string {
  const age =
    life === undefined
      ? "age not known"
      : `of ${life.since}, about ${hours} h under power, due about ${life.due}`;
  return `${age}; ${drift === undefined ? "no round shows its low end" : formatDrift(drift)}`;
}

function formatDrift({ path, lowDb, cornerRatio }: CapacitorDrift): string {
  const level =
    lowDb === undefined
      ? []
      : [`${Math.abs(lowDb).toFixed(1)} dB ${lowDb < 0 ? "below" : "above"} its siblings at 30 Hz`];
  const corner =
    cornerRatio === undefined ? [] : [`lower corner ${cornerRatio.toFixed(2)} times its siblings'`];
  return `${path}: ${[...level, ...corner].join(", ")}`;
}

/** The same for a spreadsheet, one row for each value on each board. */
export function renderRecapCsv({ days }: RecapPlan): string {
  return formatCsvTable(
    [
      "day",
      "strip",
      "board",
      "capacitor",
      "count",
      "since",
      "due",
      "hours",
      "low dB",
      "corner ratio",
      "strip minutes",
    ],
    days.flatMap(({ strips }, k) =>
      strips.flatMap(({ strip, groups, life, hours, drift, minutes }) =>
        groups.map(({ board, what, count }) => [
          k + 1,
          strip,
          board,
          what,
          count,
          life?.since,
          life?.due,
          hours,
          drift?.lowDb,
          drift?.cornerRatio,
          minutes,
        ]),
      ),
    ),
  );
}
