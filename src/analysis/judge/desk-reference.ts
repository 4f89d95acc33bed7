import { defaultExpectations } from "../../desk/expectations.js";
import type { Desk } from "../../desk/types.js";
import { toPathToRank } from "../../history/to-path-to-rank.js";
import type { Round, RoundPath } from "../../history/types.js";
import { withoutLevelDrift } from "../../history/without-level-drift.js";
import type { DeskReference } from "../../rank/shared/compare-desk.js";
import type { PlacedInput } from "../../rank/shared/types.js";

/**
 * What a desk as a whole is compared with: what it can be, and an earlier round.
 *
 * @param calibration of the round in the making: without one no level in dBu can be judged
 */
export function buildDeskReference(
  { expectations = defaultExpectations, inputs, referenceDbu }: Desk,
  calibration: Round["calibration"],
  earlier: Round | undefined,
): DeskReference {
  return {
    expectations,
    unit: calibration === null ? "dBFS" : "dBu",
    referenceDbu,
    nominalDbu: Object.fromEntries(inputs.map(({ name, nominalDbu }) => [name, nominalDbu])),
    ...(earlier === undefined
      ? {}
      : { earlier: withoutLevelDrift(earlier).paths.map(toPlacedInput) }),
  };
}

/** A stored path as ranking and what comes before it take one. */
export function toPlacedInput(stored: RoundPath): PlacedInput {
  const { strip, input, status, rank, reason = "" } = stored;
  const isUnheard = status === "unusable" && rank !== undefined;
  return {
    ...toPathToRank(stored),
    strip,
    input,
    ...(isUnheard ? { unheard: reason } : {}),
  };
}
