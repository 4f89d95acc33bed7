import { deskFolder } from "../desk/locate.js";
import { DeskroundError } from "../errors.js";
import { readRound } from "../history/store.js";
import type { Round } from "../history/types.js";
import { checkRound } from "../service/limits/check.js";
import { limitsFor } from "../service/limits/read.js";
import type { Check } from "../service/limits/types.js";

/** What `check` is asked to do. */
export interface CheckJob {
  /** Folder that holds the rounds and, perhaps, limits.yaml; or the desk file itself. */
  readonly desk: string;
  /** Id of a round, or `last`. */
  readonly round: string;
  /** Id of the baseline round. */
  readonly baseline?: string;
  /** A limits file to use instead of the folder's. */
  readonly limitsFile?: string;
  /** How verdicts count that the measurement is too uncertain for. */
  readonly undecided: "pass" | "fail";
}

/**
 * Judges a stored round by its limits. Nothing is written.
 *
 * @throws DeskroundError `round-file`, `limits-file` or `usage`
 */
export async function check({
  desk,
  round: id,
  baseline: baselineId,
  limitsFile,
  undecided,
}: CheckJob): Promise<Check> {
  const folder = deskFolder(desk);
  const round = await readRound(folder, id);
  const baseline = baselineId === undefined ? undefined : await readRound(folder, baselineId);
  if (baseline !== undefined) requireBaseline(baseline, round);
  const limits = limitsFor(folder, limitsFile, baseline === undefined ? "none" : "named");
  return checkRound({ round, limits, undecided, ...(baseline === undefined ? {} : { baseline }) });
}

function requireBaseline(baseline: Round, round: Round): void {
  if (baseline.id === round.id) {
    throw new DeskroundError(
      "usage",
      `Round ${round.id} cannot be its own baseline: nothing would have changed.`,
      "Name an earlier round with --with; `deskround show --list` lists them.",
    );
  }
  if (baseline.desk.name !== round.desk.name) {
    throw new DeskroundError(
      "usage",
      `Round ${baseline.id} is of the desk "${baseline.desk.name}", round ${round.id} of "${round.desk.name}": the one is no baseline for the other.`,
      "Name a round of the same desk with --with. A desk that was renamed keeps its name in old rounds.",
    );
  }
}
