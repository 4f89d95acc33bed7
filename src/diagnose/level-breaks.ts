import type { LevelBreakMark, ReturnEvent } from "../measure/types.js";
import { formatCount } from "../text/format-count.js";
import { formatDb } from "./cause-kind.js";

/** A level that breaks and comes back is that of something that makes and breaks; nats. */
export const breakNats = 4;

/**
 * The breaks of the level among the marks of a return.
 *
 * @example
 * const click = { kind: "click", atS: 2, overDb: 20 };
 * const one = { kind: "level-break", segment: "tone-100", atS: 7, untilS: 7.04, levelDb: -1.2 };
 * listBreaks([click, one]).length; // 1
 */
export function listBreaks(marks: readonly ReturnEvent[] = []): readonly LevelBreakMark[] {
  return marks.flatMap((mark) => (mark.kind === "level-break" ? [mark] : []));
}

/**
 * What stepped, how often, how deep and how long, in one line.
 *
 * @example
 * const one = { kind: "level-break", segment: "tone-100", atS: 7, untilS: 7.04, levelDb: -1.2 };
 * formatLevelBreaks([one]); // "the level breaks in tone-100 once, by −1.2 dB, for 40 ms"
 */
export function formatLevelBreaks(marks: readonly ReturnEvent[]): string {
  const bySegment = new Map<string, LevelBreakMark[]>();
  for (const one of listBreaks(marks)) {
    bySegment.set(one.segment, [...(bySegment.get(one.segment) ?? []), one]);
  }
  const parts = [...bySegment].map(([segment, own]) => {
    const deepest = own.reduce((a, b) => (Math.abs(b.levelDb) > Math.abs(a.levelDb) ? b : a));
    const longest = Math.max(...own.map(({ atS, untilS }) => untilS - atS));
    const often = ["once", "twice"][own.length - 1] ?? formatCount(own.length, "time");
    const most = own.length === 1 ? "" : "up to ";
    return `in ${segment} ${often}, by ${most}${formatDb(deepest.levelDb)}, for ${most}${(1000 * longest).toFixed(0)} ms`;
  });
  return `the level breaks ${parts.join("; ")}`;
}
