import { defaultExpectations } from "../../desk/expectations.js";
import type { Desk } from "../../desk/types.js";
import { toPathToRank } from "../../history/to-path-to-rank.js";
import type { Round, RoundCapture, RoundPath } from "../../history/types.js";
import { withoutLevelDrift } from "../../history/without-level-drift.js";
import { computeDitherPower } from "../../measure/word-length.js";
import type { DeskReference } from "../../rank/shared/compare-desk.js";
import type { PlacedInput } from "../../rank/shared/types.js";

/** The properties of a recording on which expectations depend. */
export interface JudgedWith extends Pick<Round, "calibration"> {
  readonly captures: readonly Pick<RoundCapture, "bits">[];
}

/**
 * What a desk as a whole is compared with: expectations and an earlier round.
 *
 * @param made the round being made: without a calibration no level in dBu can be judged
 */
export function buildDeskReference(
  { expectations = defaultExpectations, inputs, referenceDbu }: Desk,
  { calibration, captures }: JudgedWith,
  earlier: Round | undefined,
): DeskReference {
  const bits = Math.min(...captures.map((one) => one.bits));
  const fullScale = calibration?.inputs[0]?.fullScale.value;
  return {
    expectations,
    unit: calibration === null ? "dBFS" : "dBu",
    referenceDbu,
    ...(Number.isFinite(bits)
      ? { recordingNoise: computeDitherDbfs(bits) + (fullScale ?? 0) }
      : {}),
    nominalDbu: Object.fromEntries(inputs.map(({ name, nominalDbu }) => [name, nominalDbu])),
    ...(earlier === undefined
      ? {}
      : { earlier: withoutLevelDrift(earlier).paths.map(toPlacedInput) }),
  };
}

/**
 * Noise of a recording's word length with triangular dither, relative to a full-scale sine.
 *
 * @returns dBFS
 * @example
 * computeDitherDbfs(16); // −93.3
 */
export function computeDitherDbfs(bits: number): number {
  return 10 * Math.log10(computeDitherPower(2 ** (1 - bits)) / (1 / 2));
}

/** A stored path as input for ranking. */
export function toPlacedInput(stored: RoundPath): PlacedInput {
  const { strip, input, status, rank, reason = "", because } = stored;
  const isUnheard = status === "unusable" && rank !== undefined;
  return {
    ...toPathToRank(stored),
    strip,
    input,
    ...(isUnheard
      ? {
          unheard:
            because?.code === "nothing-back" ? because.heard : { code: "as-recorded", reason },
        }
      : {}),
  };
}
