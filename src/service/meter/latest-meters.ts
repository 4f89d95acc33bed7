import { formatPlace } from "../../desk/place.js";
import type { MeterFinding } from "../../diagnose/meter-tolerance.js";
import type { RoundPath } from "../../history/types.js";
import type { Entry } from "../notebook/types.js";
import { judgeMeter, type MeterLine, type MeterVerdict } from "./judge.js";
import { mergeReadings } from "./merge-readings.js";

/** A meter reading of the notebook and its verdict. */
export interface Meter {
  readonly entry: Entry;
  readonly line: MeterLine;
  readonly verdict: MeterVerdict;
}

/** The latest reading of each point of each thing; earlier ones are superseded. */
export function listLatestMeters(open: readonly Entry[]): readonly Meter[] {
  const things = new Map<string, Entry[]>();
  for (const entry of open) {
    if (entry.line.kind !== "meter") continue;
    const { what, part } = entry.line;
    const thing = `${formatPlace(entry.line)} ${what} ${part ?? ""}`;
    things.set(thing, [...(things.get(thing) ?? []), entry]);
  }
  const all = [...things.values()].map((entries) => ({
    ...entries[entries.length - 1],
    line: mergeReadings(entries.map(({ line }) => line as MeterLine)),
  }));
  // A reading is never held against itself: only those of other strips and parts count.
  return all.map((entry) => ({ entry, line: entry.line, verdict: judgeMeter(entry.line, all) }));
}

/**
 * Meter readings that bear on a path: its input's and those of its whole strip. A phantom supply
 * noted for a whole strip is that of its mic input.
 */
export function listFindingsFor(
  { strip, input }: Pick<RoundPath, "strip" | "input">,
  meters: readonly Pick<Meter, "line" | "verdict">[],
): readonly MeterFinding[] {
  return meters
    .filter(
      ({ line }) => line.strip === strip && (line.input === undefined || line.input === input),
    )
    .flatMap(({ verdict }) => verdict.findings)
    .filter(
      ({ kind, input: own }) => kind !== "phantom" || own !== undefined || /mic/i.test(input),
    );
}
