import type { CapacitorDrift, RecapPart, RecapPlan, RecapStrip } from "../../service/plan/recap.js";
import { formatCount } from "../../text/format-count.js";
import { formatCsvTable } from "../csv-row.js";
import { formatMatches } from "../format-stock.js";
import { formatDuration } from "../sheet/phrases.js";
import { createPalette, type ReportStyle } from "../style.js";
import { wrapText } from "../wrap.js";

/** A plan of new electrolytics, day by day. */
export function renderRecap(plan: RecapPlan, style: ReportStyle): string {
  const { strong } = createPalette(style);
  const width = Math.max(60, Math.min(style.width, 100));
  const { days, parts, cost, unpriced } = plan;
  const strips = days.flatMap((day) => day.strips);
  const capacitors = strips.reduce((sum, one) => sum + one.capacitors, 0);
  const from = plan.round === null ? "by age alone, no round" : `round ${plan.round}`;
  const money = [
    ...(cost === undefined ? [] : [`${cost} for what is to be bought`]),
    ...(unpriced.length === 0 ? [] : [`no price is known of ${unpriced.join(", ")}`]),
  ];
  return [
    strong(`Recapping, ${plan.desk}, ${plan.date}`),
    `from   ${from}`,
    ...wrapText(
      `${formatCount(strips.length, "strip")}, ${formatCount(capacitors, "capacitor")}, about ${formatDuration(plan.minutes * 60)} in ${formatCount(days.length, "day")} of ${plan.hoursADay} h`,
      width,
      "work   ",
      "       ",
    ),
    ...(money.length === 0 ? [] : wrapText(money.join("; "), width, "cost   ", "       ")),
    "",
    ...wrapText(
      "Off, unplugged and discharged, measured below 1 V, as in `deskround plan`; fit each the right way round, as one that is reversed can burst. Do one strip first, measure it again, then go on. When one is done, write it down, and it ages from that day: `deskround note done 5 recapped`.",
      width,
      "  !  ",
      "     ",
    ),
    "",
    strong("CAPACITORS"),
    ...parts.flatMap((part) => wrapText(formatRecapPart(part), width, "[ ] ", "    ")),
    ...days.flatMap((day, k) => [
      "",
      strong(`DAY ${k + 1}, about ${formatDuration(day.minutes * 60)} with opening and closing`),
      ...day.strips.flatMap((one) => [
        ...wrapText(
          `strip ${one.strip}: ${formatCount(one.capacitors, "capacitor")}, ${one.minutes} min`,
          width,
          "[ ] ",
          "    ",
        ),
        ...listBoards(one).flatMap((text) => wrapText(text, width, "      ", "        ")),
        ...wrapText(formatWhy(one), width, "      ", "      "),
      ]),
    ]),
    "",
    ...wrapText(
      "Minutes for each capacitor and years of life are rules of thumb (common practice, no source); what a round shows takes precedence.",
      width,
    ),
    "",
  ].join("\n");
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

/** The same for a spreadsheet, a row for each value on each board. */
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
