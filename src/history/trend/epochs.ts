import { median } from "../../dsp/robust.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import type { Condition, EpochReason } from "../condition.js";
import type { RoundFacts } from "../facts/types.js";

/** A common change of level from which another interface, or another setting of it, is taken. */
const otherInterfaceDb = 1;
const levelId = getReadingId("level");
/** This many of the paths must have moved the same way. */
const sharedBy = 0.75;

/**
 * Numbers the rounds by what was between desk and converter: if that changed, readings before and
 * after are not on one line, whatever the strips did.
 *
 * @param rounds oldest first
 * @returns the epoch of each round, and where one begins and why
 */
export function splitIntoEpochs(rounds: readonly RoundFacts[]): {
  readonly epochs: readonly number[];
  readonly conditions: readonly Condition[];
} {
  const epochs: number[] = [0];
  const conditions: Condition[] = [];
  for (let k = 1; k < rounds.length; k++) {
    const because = changedBetween(rounds[k - 1], rounds[k]);
    epochs.push(epochs[k - 1] + (because === undefined ? 0 : 1));
    if (because !== undefined) {
      conditions.push({ code: "new-epoch", round: rounds[k].id, because });
    }
  }
  return { epochs, conditions };
}

function changedBetween(before: RoundFacts, after: RoundFacts): EpochReason | undefined {
  const [one, other] = [before.signal, after.signal];
  if ((before.calibration === null) !== (after.calibration === null)) {
    return { code: after.calibration === null ? "calibration-given-up" : "calibration-made" };
  }
  if (one.sampleRate !== other.sampleRate) return { code: "other-rate" };
  if (one.nominalDbfs !== other.nominalDbfs) return { code: "other-level" };
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
  return { code: "level-step", db: step };
}
