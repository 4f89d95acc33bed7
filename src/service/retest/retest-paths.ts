import type { Desk, DeskPath } from "../../desk/types.js";
import type { Notebook } from "../notebook/types.js";

/** Which strips to measure again before the desk is closed. */
export interface RetestPaths {
  /** Strips that were worked on. */
  readonly touched: readonly string[];
  /** Strips beside them and on the same card, and as many others as it takes to tell apart what
   * the day did to all. */
  readonly neighbours: readonly string[];
  /** All of their inputs, in the order of the run sheet. */
  readonly paths: readonly DeskPath[];
}

/** What all did alike is told from untouched strips; one could be ill itself. */
const leastUntouched = 3;

/**
 * The paths of a re-test: of the strips that `note done` speaks of since the round, or, where
 * nothing was noted, of those that the plan pulls; with their neighbours, which may have suffered.
 *
 * @param since date of the round that the plan stands on; undefined: ever
 * @param planned strips that the plan pulls
 */
export function listRetestPaths(
  desk: Desk,
  notebook: Notebook,
  since: string | undefined,
  planned: readonly string[],
): RetestPaths {
  const repaired = notebook.entries.flatMap(({ line }) =>
    line.kind === "repair" &&
    line.strip !== undefined &&
    (since === undefined || line.date.slice(0, 10) >= since.slice(0, 10))
      ? [line.strip]
      : [],
  );
  const worked = new Set(repaired.length > 0 ? repaired : planned);
  const touched = desk.strips.filter((strip) => worked.has(strip));
  const beside = new Set(touched.flatMap((strip) => besides(strip, desk)));
  // The nearest of the others, until enough are untouched.
  const left = [...desk.strips].sort((a, b) => apart(a, touched, desk) - apart(b, touched, desk));
  for (const strip of touched.length === 0 ? [] : left) {
    const untouched = [...beside].filter((one) => !worked.has(one)).length;
    if (untouched >= leastUntouched) break;
    if (!worked.has(strip)) beside.add(strip);
  }
  const neighbours = desk.strips.filter((strip) => beside.has(strip) && !worked.has(strip));
  const all = new Set([...touched, ...neighbours]);
  return { touched, neighbours, paths: desk.paths.filter(({ strip }) => all.has(strip)) };
}

function besides(strip: string, desk: Desk): readonly string[] {
  const at = desk.strips.indexOf(strip);
  const cards = desk.construction.parts.filter(
    (part) => part.kind === "card" && part.strips.includes(strip),
  );
  return [
    ...desk.strips.slice(Math.max(0, at - 1), at),
    ...desk.strips.slice(at + 1, at + 2),
    ...cards.flatMap((card) => card.strips),
  ];
}

function apart(strip: string, touched: readonly string[], desk: Desk): number {
  const at = desk.strips.indexOf(strip);
  return Math.min(...touched.map((one) => Math.abs(desk.strips.indexOf(one) - at)));
}
