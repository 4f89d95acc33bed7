import { getAbsences } from "../../history/absences.js";
import type { Check, LimitCheck, PathCheck } from "../../service/limits/types.js";
import { formatAbsences } from "../absences/format-absence.js";
import { formatReason } from "../not-measured/format-reason.js";
import { formatCheckNote, formatLack } from "./format-note.js";

/** The verdict on a limit, with its reason in words. */
export interface WordedLimitCheck extends Omit<LimitCheck, "lack" | "lacking"> {
  /** Why it is incomplete. */
  readonly reason?: string;
}

export interface WordedPathCheck extends Omit<PathCheck, "checks" | "reason"> {
  /** Why nothing could be judged. */
  readonly reason?: string;
  readonly checks: readonly WordedLimitCheck[];
}

/** A check with its words; what `--format json` prints. */
export interface WordedCheck extends Omit<Check, "paths" | "notes"> {
  readonly paths: readonly WordedPathCheck[];
  readonly notes: readonly string[];
}

/** Puts the reasons and notes of a check into words, once for all formats. */
export function wordCheck({ paths, notes, ...check }: Check): WordedCheck {
  return { ...check, paths: paths.map(wordPath), notes: notes.map(formatCheckNote) };
}

function wordPath({ checks, ...path }: PathCheck): WordedPathCheck {
  const worded = checks.map(wordLimit);
  const { path: name, strip, input, family, status, verdict, counts, readings, absences } = path;
  const why =
    verdict === "incomplete" ? { reason: whyIncomplete(status, formatReason(path), worded) } : {};
  return {
    path: name,
    strip,
    input,
    family,
    status,
    verdict,
    counts,
    ...why,
    checks: worded,
    readings,
    absent: { ...path.absent, ...formatAbsences(getAbsences(path)) },
    ...(absences === undefined ? {} : { absences }),
  };
}

function wordLimit({ lack, lacking, ...check }: LimitCheck): WordedLimitCheck {
  return lack === undefined ? check : { ...check, reason: formatLack(lack, lacking) };
}

function whyIncomplete(
  status: PathCheck["status"],
  reason: string | undefined,
  checks: readonly WordedLimitCheck[],
): string {
  if (status !== "measured") return reason === undefined ? status : `${status}: ${reason}`;
  const missing = checks.flatMap((check) => check.reason ?? []);
  return missing.length === 0 ? "no limit could be judged" : [...new Set(missing)].join("; ");
}
