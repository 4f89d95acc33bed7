import type { Round, RoundPath } from "../history/types.js";

/** What the way out allows. */
export interface ReportStyle {
  readonly colour: "none" | "ansi";
  /** Columns. */
  readonly width: number;
}

/** A round as plain text: the summary for a terminal. */
export function renderRound(round: Round, _style: ReportStyle): string {
  return `Round ${round.id}: ${round.paths.length} paths`;
}

/** One path of a round as plain text. */
export function renderPath(round: Round, path: RoundPath, _style: ReportStyle): string {
  return `Round ${round.id}, path ${path.path}: ${path.status}`;
}
