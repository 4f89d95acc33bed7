import type { DeskPath } from "../../desk/types.js";
import type { StoredAbsences } from "../../history/absences.js";
import type { RoundPath, RoundSide } from "../../history/types.js";
import type { Absences } from "../../measure/absence.js";
import type { SideMeasurement } from "../../measure/types.js";
import type { NothingBack, NotMeasured } from "../../not-measured.js";
import { buildOtherTakes, buildRoundTake, type ChosenTake } from "../takes/choose-takes.js";

/** Everything known about a path when its round is built. */
export interface PathRecord {
  /** Its takes; undefined if no return was assigned to it. */
  readonly takes: ChosenTake | undefined;
  /** What was heard instead of the signal; undefined if the path returned it. */
  readonly unheard: NothingBack | undefined;
  /** Fault of its capture, if any. */
  readonly spoilt: NotMeasured | undefined;
  /** Results of ranking and diagnosis; undefined if the path is not judged. */
  readonly judged?: Pick<RoundPath, "oddness" | "rank" | "findings" | "causes">;
}

/** A path as stored in a round, except for its words, which `report/word-path.ts` adds. */
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
    ...(controls ? { controls } : {}),
    oddness,
    ...(rank === undefined ? {} : { rank }),
    findings,
    causes,
  };
}

function buildRoundSide({ side, readings, absent, curves }: SideMeasurement): RoundSide {
  return { side, readings, ...storeAbsences(absent), curves };
}

/** Reasons as data; `report/word-path.ts` adds the words. */
export function storeAbsences(absences: Absences): StoredAbsences {
  return Object.keys(absences).length === 0 ? { absent: {} } : { absent: {}, absences };
}

function getStatus({ takes, unheard, spoilt }: PathRecord): Pick<RoundPath, "status" | "because"> {
  const one = takes?.counts;
  if (one?.measurement) return { status: "measured" };
  if (unheard !== undefined) {
    return { status: "unusable", because: { code: "nothing-back", heard: unheard } };
  }
  const unusable = one?.unusable ?? spoilt;
  if (unusable !== undefined) return { status: "unusable", because: unusable };
  return { status: "missing", because: { code: "missing" } };
}
