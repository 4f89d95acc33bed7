import { getDeskFolder } from "../desk/desk-file.js";
import { assertBaseline } from "../history/compare/conditions.js";
import { readRound } from "../history/store.js";
import { withoutLevelDrift } from "../history/without-level-drift.js";
import { checkRound } from "../service/limits/check.js";
import { readLimits } from "../service/limits/read.js";
import type { Check } from "../service/limits/types.js";
import { leaveAlone } from "../service/notebook/left-alone.js";
import { readKnownNotebook } from "../service/notebook/read-known.js";
import { readBaseline } from "./baseline.js";
import { getDate } from "./wall-time.js";

/** What `check` is asked to do. */
export interface CheckRequest {
  /** Folder that holds the rounds and, perhaps, limits.yaml; or the desk file itself. */
  readonly desk: string;
  /** Id of a round, a date, `oldest` or `last`. */
  readonly round: string;
  /** The baseline round, by the same; `last` is the one before. */
  readonly baseline?: string;
  /** A limits file to use instead of the folder's. */
  readonly limitsFile?: string;
  /** How limits count that are too close to decide within the uncertainty. */
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
}: CheckRequest): Promise<Check> {
  const folder = getDeskFolder(desk);
  const { entries } = await readKnownNotebook(folder);
  const today = getDate(undefined).slice(0, 10);
  const { round: read, leftAlone } = leaveAlone(await readRound(folder, id), entries, today);
  const round = withoutLevelDrift(read);
  const found =
    baselineId === undefined ? undefined : await readBaseline(folder, baselineId, round.id);
  const baseline = found && withoutLevelDrift(found.baseline);
  if (baseline !== undefined) assertBaseline(baseline, round);
  const limits = await readLimits(folder, limitsFile, baseline === undefined ? "none" : "named");
  const checked = await checkRound({
    round,
    limits,
    undecided,
    leftAlone,
    ...(baseline === undefined ? {} : { baseline }),
  });
  const past =
    round.reference === undefined
      ? []
      : [{ code: "reference-path", reference: round.reference } as const];
  const skipped = (found?.skipped ?? []).map(
    (why) => ({ code: "baseline-passed-over", why }) as const,
  );
  return { ...checked, notes: [...checked.notes, ...past, ...skipped] };
}
