import type { DeskPath } from "../../desk/types.js";
import type { StoredAbsences } from "../../history/absences.js";
import type { RoundControl, RoundPath, RoundSide } from "../../history/types.js";
import type { Absences } from "../../measure/absence.js";
import type { ControlReport } from "../../measure/controls/types.js";
import type { SideMeasurement } from "../../measure/types.js";
import { formatAbsences } from "../../report/absences/format-absence.js";
import { formatControlWear } from "../../report/control-wear.js";
import { buildOtherTakes, buildRoundTake, type ChosenTake } from "../takes/choose-takes.js";

/** All that is known of a path when its round is built. */
export interface PathRecord {
  /** Its takes; undefined where no return belongs to it. */
  readonly takes: ChosenTake | undefined;
  /** What was heard instead of the signal; undefined where the path gave it back. */
  readonly unheard: string | undefined;
  /** What is wrong with its capture. */
  readonly spoilt: string | undefined;
  /** What ranking and diagnosis found; undefined where a path is not judged. */
  readonly judged?: Pick<RoundPath, "oddness" | "rank" | "findings" | "causes">;
}

/** A path as a round keeps it. */
export function buildRoundPath(
  { path, strip, input, family }: DeskPath,
  record: PathRecord,
): RoundPath {
  const { takes, judged } = record;
  const measured = takes?.counts.measurement;
  const { controls, marks, steps, partner } = measured ?? {};
  const { oddness = 0, rank, findings = [], causes = [] } = judged ?? {};
  return {
    path,
    strip,
    input,
    family,
    ...getStatus(record),
    ...(takes ? { take: buildRoundTake(takes) } : {}),
    ...(takes && takes.others.length > 0 ? { otherTakes: buildOtherTakes(takes) } : {}),
    readings: measured?.readings ?? {},
    ...storeAbsences(measured?.absent ?? {}),
    curves: measured?.curves ?? {},
    ...(marks ? { marks } : {}),
    ...(steps ? { steps } : {}),
    ...(partner ? { partner: buildRoundSide(partner) } : {}),
    ...(controls ? { controls: controls.map(buildRoundControl) } : {}),
    oddness,
    ...(rank === undefined ? {} : { rank }),
    findings,
    causes,
  };
}

function buildRoundSide({ side, readings, absent, curves }: SideMeasurement): RoundSide {
  return { side, readings, ...storeAbsences(absent), curves };
}

function buildRoundControl(report: ControlReport): RoundControl {
  const { wear } = report;
  return wear === undefined ? report : { ...report, points: formatControlWear(wear) };
}

/** Reasons as a round keeps them: in words, and as data where there are any. */
export function storeAbsences(absences: Absences): StoredAbsences {
  const absent = formatAbsences(absences);
  return Object.keys(absences).length === 0 ? { absent } : { absent, absences };
}

function getStatus({ takes, unheard, spoilt }: PathRecord): Pick<RoundPath, "status" | "reason"> {
  const one = takes?.counts;
  if (one?.measurement) return { status: "measured" };
  if (unheard !== undefined) {
    return { status: "unusable", reason: `nothing of the signal came back (${unheard})` };
  }
  const unusable = one?.unusable ?? spoilt;
  if (unusable !== undefined) return { status: "unusable", reason: unusable };
  return { status: "missing", reason: "no return belongs to it" };
}
