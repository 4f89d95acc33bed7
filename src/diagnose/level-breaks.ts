import type { LevelBreakMark, ReturnEvent } from "../measure/types.js";
import type { Evidence, SegmentBreaks } from "./evidence.js";

/** Nats in favour of an intermittent contact if the level breaks and recovers. */
export const breakNats = 4;

/** Nats in favour of a contact or a wiper if the level fluctuates. */
export const waverNats = 2;

/**
 * The level breaks among the marks of a return.
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
 * In which segments the level broke, how often, how deep and for how long.
 *
 * @example
 * const one = { kind: "level-break", segment: "tone-100", atS: 7, untilS: 7.04, levelDb: -1.2 };
 * const [only] = summarizeBreaks([one]).segments;
 * only.count; // 1
 * only.deepestDb; // -1.2
 */
export function summarizeBreaks(
  marks: readonly ReturnEvent[],
): Extract<Evidence, { code: "level-breaks" }> {
  const bySegment = new Map<string, LevelBreakMark[]>();
  for (const one of listBreaks(marks)) {
    bySegment.set(one.segment, [...(bySegment.get(one.segment) ?? []), one]);
  }
  const segments = [...bySegment].map(([segment, own]): SegmentBreaks => {
    const deepest = own.reduce((a, b) => (Math.abs(b.levelDb) > Math.abs(a.levelDb) ? b : a));
    const longestS = Math.max(...own.map(({ atS, untilS }) => untilS - atS));
    return { segment, count: own.length, deepestDb: deepest.levelDb, longestS };
  });
  return { code: "level-breaks", segments };
}
