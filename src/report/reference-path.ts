import type { MeasuredReferenceTurn, Round } from "../history/types.js";
import { readingKinds } from "../measure/reading-kinds.js";
import { formatReading } from "./format-reading.js";
import { formatDriftedReading, formatReference } from "./format-reference.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { formatVerdict } from "./verdict.js";
import { wrapText } from "./wrap.js";

/** The reference path of a round in full: both turns, and what changed between them. */
export function renderReference(round: Round, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const { reference } = round;
  if (reference === undefined) return "";
  const { turns, drift } = reference;
  const cell = (turn: MeasuredReferenceTurn["turn"], id: string) => {
    const reading = turns.find((one) => one.turn === turn)?.readings[id];
    return reading === undefined ? "" : formatReading(reading);
  };
  const known = readingKinds.filter(({ id }) => turns.some(({ readings }) => id in readings));
  const rows = known.map(({ id, name }) => [name, cell("first", id), cell("last", id)]);
  const changed = drift?.readings ?? [];
  return [
    strong(`${round.desk.name}, round ${round.id}: reference path`),
    "",
    ...wrapText(formatReference(reference), width),
    ...changed.flatMap((one) => wrapText(formatDriftedReading(one), width, "  - ", "    ")),
    ...turns.flatMap(({ turn, status, reason = status }) =>
      status === "measured" ? [] : wrapText(`${turn}: ${reason}`, width, "  - ", "    "),
    ),
    "",
    renderTable(
      [
        { head: "reading", width: width - 46 },
        { head: "first", width: 22, align: "right" },
        { head: "last", width: 22, align: "right" },
      ],
      rows,
    ),
    "",
    ...wrapText(formatVerdict(round), width),
    "",
  ].join("\n");
}
