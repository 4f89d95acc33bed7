import { referenceSockets } from "../desk/reference-path.js";
import type { ReferenceTurn, Round, RoundReference } from "../history/types.js";
import { findReadingKind, readingKinds } from "../measure/reading-kinds.js";
import type { LevelDrift } from "../rank/shared/reference/types.js";
import { formatReading, formatSigned } from "./format-reading.js";
import { createPalette, type ReportStyle } from "./style.js";
import { renderTable } from "./table.js";
import { formatVerdict } from "./verdict.js";
import { wrapText } from "./wrap.js";

/** The reference path in a sentence: whether the round held, and what was made of what did not. */
export function formatReference({ name, into, turns, drift }: RoundReference): string {
  const head = `Reference path (${name}, ${referenceSockets[into]})`;
  const both = turns.filter(({ status }) => status === "measured").length === 2;
  if (!both) return `${head}: recorded once, so what drifted over the round is not known.`;
  const { level, readings = [] } = drift ?? {};
  if (level === undefined) {
    const held =
      readings.length === 0 ? "the same first and last" : "level the same first and last";
    return `${head}: ${held}.`;
  }
  return `${head}: level ${signed(level.changeDb)} dB from first to last, ${formatCourse(level)}.`;
}

/** "stepped before 7/line; subtracted from every path". */
export function formatCourse({ course, from, handled, leftDb }: LevelDrift): string {
  const how = {
    step:
      from === undefined ? "in one step before or after the paths" : `in one step before ${from}`,
    creep: "by and by, as when a desk warms up",
    unclear: "how and when the paths do not tell",
  }[course];
  if (handled === "doubted") return `${how}; not subtracted`;
  const left = leftDb < 0.05 ? "" : ` (to within ${leftDb.toFixed(1)} dB)`;
  return `${how}; subtracted from the paths${left}`;
}

/** The reference path of a round in full: both turns, and what changed between them. */
export function renderReference(round: Round, style: ReportStyle): string {
  const width = Math.max(60, Math.min(style.width, 100));
  const { strong } = createPalette(style);
  const { reference } = round;
  if (reference === undefined) return "";
  const { turns, drift } = reference;
  const cell = (turn: ReferenceTurn["turn"], id: string) => {
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
    ...changed.flatMap(({ reading, change, uncertainty, unit, atHz }) =>
      wrapText(
        `${findReadingKind(reading)?.name ?? reading}${atHz === undefined ? "" : ` at ${atHz} Hz`}: ${signed(change)} ± ${uncertainty.toFixed(1)} ${unit} from first to last`,
        width,
        "  - ",
        "    ",
      ),
    ),
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

function signed(value: number): string {
  const digits = Math.abs(value) < 9.95 ? 2 : 1;
  const text = formatSigned(value.toFixed(digits));
  return value > 0 ? `+${text}` : text;
}
