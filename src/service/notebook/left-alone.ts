import { listSeriousFindings } from "../../history/standing.js";
import type { Round, RoundFinding, RoundPath } from "../../history/types.js";
import type { NoteLine } from "./schema.js";
import type { Entry } from "./types.js";

export type AcceptLine = Extract<NoteLine, { kind: "accept" }>;

/** A path with accepted findings, and their state. */
export interface LeftAlone {
  readonly path: string;
  /** Id of the note that accepts it. */
  readonly note: string;
  readonly line: AcceptLine;
  /** `holds`: its findings no longer count; `over`: its last day has passed; `more`: there is more than was accepted. */
  readonly state: "holds" | "over" | "more";
  /** Accepted findings present in this round. */
  readonly findings: readonly RoundFinding[];
}

/**
 * Factor by which a finding may exceed the accepted one before it counts again. Common sense, no
 * source: half as much again is more than scatter and less than a second fault.
 */
const mostGrowth = 1.5;

/**
 * Turns accepted findings of a round into remarks: they are shown, but do not affect verdicts.
 * Findings that are new on the path, have the opposite sign, or are half as far out again count as
 * before.
 *
 * @param entries of the notebook
 *
 * @param today YYYY-MM-DD
 *
 * @returns the round, and the accepted findings in it; the same round if nothing was accepted
 */
export function leaveAlone(
  round: Round,
  entries: readonly Entry[],
  today: string,
): { readonly round: Round; readonly leftAlone: readonly LeftAlone[] } {
  const accepted = entries.filter(
    (entry): entry is Entry & { readonly line: AcceptLine } =>
      entry.line.kind === "accept" && entry.closed === undefined,
  );
  if (accepted.length === 0) return { round, leftAlone: [] };
  const leftAlone: LeftAlone[] = [];
  const paths = round.paths.map((path) => {
    const serious = listSeriousFindings(path);
    // The latest note about a path counts.
    const entry = accepted.findLast(({ line }) =>
      line.findings.some((finding) => finding.path === path.path),
    );
    if (entry === undefined) return path;
    const { id, line } = entry;
    const known = serious.filter((finding) => isAccepted(path, finding, line));
    if (known.length === 0) return path;
    const isOver = line.until !== undefined && line.until < today;
    const state = isOver ? "over" : known.length < serious.length ? "more" : "holds";
    leftAlone.push({ path: path.path, note: id, line, state, findings: known });
    if (isOver) return path;
    const rest = path.findings.map((finding) =>
      known.includes(finding) ? { ...finding, severity: "remark" as const } : finding,
    );
    return { ...path, findings: rest };
  });
  return { round: { ...round, paths }, leftAlone };
}

function isAccepted({ path }: RoundPath, finding: RoundFinding, line: AcceptLine): boolean {
  return line.findings.some(
    (known) =>
      known.path === path &&
      known.reading === finding.reading &&
      known.against === finding.against &&
      Math.sign(known.deviation) === Math.sign(finding.deviation) &&
      Math.abs(finding.deviation) <= mostGrowth * Math.abs(known.deviation),
  );
}
