import { toDisplayName } from "../../capture/containers/open-file.js";
import type { IncompleteReturn } from "../../capture/types.js";

/** Why the path of a return that is not whole could not be measured. */
export function formatIncompleteReason(cut: IncompleteReturn, sampleRate: number): string {
  const { missing, slipSamples = 0 } = cut;
  if (missing !== "middle") return `the ${missing} of its return is not in the capture; ${again}`;
  if (slipSamples > 0) {
    return `the return ${longer(slipSamples, sampleRate)}: a part of it was repeated, or the player stopped in its midst; ${again}`;
  }
  const where = cut.endsIn === undefined ? "" : ", as it went on in another file";
  const lost = `more than half a second (about ${seconds(slipSamples, sampleRate)})`;
  return `the recorder lost ${lost} within the return${where}; ${again}`;
}

/** Which return of its file it is, and what it lacks. */
export function formatIncomplete(cut: IncompleteReturn, sampleRate: number): string {
  const at = `${(cut.atSample / sampleRate).toFixed(1)} s`;
  return {
    start: `the return that ends at ${at} has no start`,
    middle: `the return that starts at ${at} ${formatMissingMiddle(cut, sampleRate)}`,
    end: `the return that starts at ${at} has no end`,
  }[cut.missing];
}

/** What a return is like that has both its markers and not all in between: "has lost …". */
export function formatMissingMiddle(cut: IncompleteReturn, sampleRate: number): string {
  const { slipSamples = 0, endsIn } = cut;
  if (slipSamples > 0) {
    const where = endsIn === undefined ? "" : ` and ends in ${toDisplayName(endsIn)}`;
    return `${longer(slipSamples, sampleRate)}${where}`;
  }
  const where = endsIn === undefined ? "" : `, which lies in ${toDisplayName(endsIn)}`;
  return `has lost about ${seconds(slipSamples, sampleRate)} before its end${where}`;
}

const again = "record it again";

function longer(samples: number, sampleRate: number): string {
  return `lasts about ${seconds(samples, sampleRate)} longer than the signal`;
}

function seconds(samples: number, sampleRate: number): string {
  return `${(Math.abs(samples) / sampleRate).toFixed(1)} s`;
}
