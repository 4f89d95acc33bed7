import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { RoundFacts } from "../facts/types.js";

/** A common change of level from which another interface, or another setting of it, is taken. */
const otherInterfaceDb = 1;
const levelId = getReadingId("level");
/** Of the paths, so many must have gone the same way. */
const sharedBy = 0.75;

/**
 * Numbers the rounds by what stood between desk and converter: where that changed, readings before
 * and after do not lie on one line, whatever the strips did.
 *
 * @param rounds oldest first
 * @returns the epoch of each round, and where one begins and why, in words
 */
export function splitIntoEpochs(rounds: readonly RoundFacts[]): {
  readonly epochs: readonly number[];
  readonly notes: readonly string[];
} {
  const epochs: number[] = [0];
  const notes: string[] = [];
  for (let k = 1; k < rounds.length; k++) {
    const why = changedBetween(rounds[k - 1], rounds[k]);
    epochs.push(epochs[k - 1] + (why === undefined ? 0 : 1));
    if (why !== undefined) {
      notes.push(`Before round ${rounds[k].id} ${why}: trends restart there.`);
    }
  }
  return { epochs, notes };
}

function changedBetween(before: RoundFacts, after: RoundFacts): string | undefined {
  const [one, other] = [before.signal, after.signal];
  if ((before.calibration === null) !== (after.calibration === null)) {
    return after.calibration === null ? "the calibration was given up" : "a calibration was made";
  }
  if (one.sampleRate !== other.sampleRate) return "the sample rate was changed";
  if (one.nominalDbfs !== other.nominalDbfs) return "the level of the tones was changed";
  // A calibration takes the interface out, whichever it is.
  if (after.calibration !== null) return undefined;
  const earlier = new Map(before.paths.map((path) => [path.path, path]));
  const steps = after.paths.flatMap(({ path, readings }) => {
    const [then, now] = [earlier.get(path)?.readings[levelId], readings[levelId]];
    return then === undefined || now === undefined ? [] : [now.value - then.value];
  });
  if (steps.length < 3) return undefined;
  const step = median(steps);
  const alike = steps.filter((one) => Math.abs(one - step) < otherInterfaceDb / 2).length;
  if (Math.abs(step) < otherInterfaceDb || alike < sharedBy * steps.length) return undefined;
  const text = `${step > 0 ? "+" : "−"}${Math.abs(step).toFixed(1)} dB`;
  return `the level of all paths changed by ${text}, as by another interface`;
}
