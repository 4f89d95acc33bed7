import type { StoredAbsences } from "../history/absences.js";
import type { OtherTake, RoundPath, RoundReference } from "../history/types.js";
import type { TakeFault } from "../not-measured.js";
import { formatAbsences } from "./absences/format-absence.js";
import { formatControlWear } from "./control-wear.js";
import { wordCause } from "./evidence/format-evidence.js";
import { wordFinding } from "./findings/format-finding.js";
import { formatNotMeasured } from "./not-measured/format-not-measured.js";
import { formatFaultPlace } from "./remarks/format-fault-place.js";

/** A path with the words that a round keeps beside its data. */
export function wordPath(bare: RoundPath): RoundPath {
  const { path, strip, input, family, status, because, take, otherTakes, ...rest } = bare;
  const { partner, controls, findings, causes } = rest;
  return {
    path,
    strip,
    input,
    family,
    status,
    ...wordReason(because),
    ...(take === undefined ? {} : { take }),
    ...(otherTakes === undefined ? {} : { otherTakes: otherTakes.map(wordTake) }),
    ...rest,
    ...wordAbsences(bare),
    ...(partner === undefined ? {} : { partner: { ...partner, ...wordAbsences(partner) } }),
    ...(controls === undefined
      ? {}
      : {
          controls: controls.map((one) =>
            one.wear === undefined ? one : { ...one, points: formatControlWear(one.wear) },
          ),
        }),
    findings: findings.map(wordFinding),
    causes: causes
      .map(wordCause)
      .map((cause) =>
        cause.place === undefined ? cause : { ...cause, where: formatFaultPlace(cause.place) },
      ),
  };
}

/** The reference path with the words that a round keeps beside its data. */
export function wordReference(reference: RoundReference): RoundReference {
  return {
    ...reference,
    turns: reference.turns.map(({ turn, status, because, ...rest }) => ({
      turn,
      status,
      ...wordReason(because),
      ...rest,
      ...wordAbsences(rest),
    })),
  };
}

function wordTake(bare: OtherTake): OtherTake {
  const { because, readings, ...rest } = bare;
  return { ...rest, ...wordReason(because), readings };
}

function wordReason<F extends TakeFault>(because: F | undefined) {
  return because === undefined ? {} : { reason: formatNotMeasured(because), because };
}

function wordAbsences({ absent, absences }: StoredAbsences): StoredAbsences {
  return absences === undefined ? { absent } : { absent: formatAbsences(absences), absences };
}
