import type { IncompleteReturn } from "../../capture/types.js";
import type { IncompletePart } from "../../doubt.js";
import { formatMissingMiddle } from "../../report/doubts/format-incomplete-doubt.js";

/** Why the path of a return that is not whole could not be measured. */
export function formatIncompleteReason(cut: IncompleteReturn, sampleRate: number): string {
  const { missing, endsIn } = cut;
  if (missing !== "middle") return `the ${missing} of its return is not in the capture; ${again}`;
  const { slipS } = describeIncomplete(cut, sampleRate);
  if (slipS > 0) {
    const longer = formatMissingMiddle({ slipS });
    return `the return ${longer}: a part of it was repeated, or the player stopped in its midst; ${again}`;
  }
  const where = endsIn === undefined ? "" : ", as it went on in another file";
  const lost = `more than half a second (about ${Math.abs(slipS).toFixed(1)} s)`;
  return `the recorder lost ${lost} within the return${where}; ${again}`;
}

/** Which return of its file it is, and what it lacks. */
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

const again = "record it again";
