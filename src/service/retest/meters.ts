import { formatPlace } from "../../desk/place.js";
import { judgeMeter, type MeterLine } from "../meter/judge.js";
import { mergeReadings } from "../meter/merge-readings.js";
import type { Entry, Notebook } from "../notebook/types.js";
import type { PlanItem } from "../plan/types.js";
import type { ItemPart } from "./judge-path.js";

/**
 * The notebook as at the time of the plan: for a thing measured again, the first reading out of
 * range.
 */
export function keepFirstOut(notebook: Notebook): Notebook {
  const raised = new Set<string>();
  const entries = notebook.entries.filter(({ line, closed }) => {
    if (line.kind !== "meter" || closed) return true;
    if (raised.has(formatThing(line))) return false;
    if (judgeMeter(line).verdict === "out") raised.add(formatThing(line));
    return true;
  });
  return { ...notebook, entries };
}

function formatThing(line: MeterLine): string {
  return `${formatPlace(line)} ${line.what} ${line.part ?? ""}`;
}

/** All open readings of the things in an item's meter notes, oldest first. */
export function listMeterThings(
  item: PlanItem,
  { entries }: Notebook,
): readonly (readonly Entry[])[] {
  const open = entries.filter(({ line, closed }) => line.kind === "meter" && !closed);
  const things = new Set(
    open
      .filter(({ id }) => item.notes.includes(id))
      .map(({ line }) => formatThing(line as MeterLine)),
  );
  return [...things].map((thing) =>
    open.filter(({ line }) => formatThing(line as MeterLine) === thing),
  );
}

/** Judges an item by its meter readings now. */
export function judgeMeters(item: PlanItem, notebook: Notebook): readonly ItemPart[] {
  return listMeterThings(item, notebook).map((readings): ItemPart => {
    const lines = readings.map(({ line }) => line as MeterLine);
    const [first, last] = [lines[0], mergeReadings(lines)];
    const what = `${first.what}${first.part === undefined ? "" : ` ${first.part}`}`;
    if (lines.length === 1) {
      return { outcome: "not shown", figure: { code: "metered", what, earlier: first.values } };
    }
    const figure = { code: "metered", what, earlier: first.values, later: last.values } as const;
    if (judgeMeter(last).verdict !== "out") {
      return { outcome: "mended", figure: { ...figure, isInOrder: true } };
    }
    const [then, now] = [farthest(first), farthest(last)];
    const apart = Math.abs(now - then) / Math.max(then, 1e-12);
    if (apart < 0.05) return { outcome: "unchanged", figure };
    return { outcome: now < then ? "better" : "worse", figure };
  });
}

function farthest({ values }: MeterLine): number {
  return Math.max(...values.map(({ value, nominal = value }) => Math.abs(value - nominal)));
}
