import type { IncompleteReturn } from "../../capture/types.js";
import type { IncompletePart } from "../../doubt.js";

/** Which return of its file it is, and what is missing in it. */
export function describeIncomplete(
  { missing, atSample, slipSamples = 0, endsIn }: IncompleteReturn,
  sampleRate: number,
): IncompletePart {
  return {
    missing,
    atS: atSample / sampleRate,
    slipS: slipSamples / sampleRate,
    ...(endsIn === undefined ? {} : { endsIn }),
  };
}
