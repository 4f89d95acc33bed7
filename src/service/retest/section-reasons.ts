import { judgeMeter, type MeterLine } from "../meter/judge.js";
import { mergeReadings } from "../meter/merge-readings.js";
import type { Entry } from "../notebook/types.js";
import type { RetestScope } from "./retest-scope.js";
import type { GateReason } from "./types.js";

/**
 * Open notes of the sections worked on: measuring strips says nothing about a fault noted at the
 * supply or the master. Of several meter readings the last counts.
 */
export function listSectionReasons({ chosen, notebook }: RetestScope): readonly GateReason[] {
  return (chosen.sections ?? []).flatMap((section): GateReason[] => {
    const open = notebook.entries.filter(
      ({ line, closed }) => closed === undefined && line.section === section,
    );
    const faults = open
      .filter(({ line }) => line.kind === "fault")
      .map(({ id }): GateReason => ({ code: "section-unanswered", note: id, section }));
    return [...listReadingsOut(open, section), ...faults];
  });
}

function listReadingsOut(open: readonly Entry[], section: string): readonly GateReason[] {
  const things = new Map<string, { readonly lines: MeterLine[]; last: string }>();
  for (const { id, line } of open) {
    if (line.kind !== "meter") continue;
    const thing = `${line.what} ${line.part ?? ""}`;
    const one = things.get(thing) ?? { lines: [], last: id };
    one.lines.push(line);
    one.last = id;
    things.set(thing, one);
  }
  return [...things.values()].flatMap(({ lines, last }): GateReason[] => {
    const { verdict, said } = judgeMeter(mergeReadings(lines));
    if (verdict !== "out") return [];
    return [{ code: "section-out", note: last, section, said }];
  });
}
