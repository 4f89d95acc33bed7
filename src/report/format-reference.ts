import { referenceSockets } from "../desk/reference-path.js";
import type { RoundReference } from "../history/types.js";
import { getReadingName } from "../measure/reading-kinds.js";
import type { DriftedReading, LevelDrift } from "../rank/shared/reference/types.js";
import { formatSigned } from "../text/format-signed.js";

/**
 * The reference path in a sentence: whether the round was stable, and what was done about any
 * drift.
 */
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
  return `${head}: level ${formatReferenceChange(level.changeDb)} dB from first to last, ${formatCourse(level)}.`;
}

/** "stepped before 7/line; subtracted from every path". */
function formatCourse({ course, from, handled, leftDb }: LevelDrift): string {
  const how = {
    step:
      from === undefined ? "in one step before or after the paths" : `in one step before ${from}`,
    creep: "gradually, as when a desk warms up",
    unclear: "the paths do not show how and when",
  }[course];
  if (handled === "doubted") return `${how}; not subtracted`;
  const left = leftDb < 0.05 ? "" : ` (to within ${leftDb.toFixed(1)} dB)`;
  return `${how}; subtracted from the paths${left}`;
}

/** "hum at 150 Hz: +2.10 ± 0.4 dB from first to last". */
export function formatDriftedReading(drifted: DriftedReading): string {
  const { reading, change, uncertainty, unit, atHz } = drifted;
  const name = getReadingName(reading);
  const at = atHz === undefined ? "" : ` at ${atHz} Hz`;
  return `${name}${at}: ${formatReferenceChange(change)} ± ${uncertainty.toFixed(1)} ${unit} from first to last`;
}

/** A change with its sign, as printed. */
export function formatReferenceChange(value: number): string {
  const digits = Math.abs(value) < 9.95 ? 2 : 1;
  const text = formatSigned(value.toFixed(digits));
  return value > 0 ? `+${text}` : text;
}
