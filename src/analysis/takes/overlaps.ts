import type { SignalReturn } from "../../capture/types.js";
import type { NotMeasured } from "../../not-measured.js";
import type { MeasuredTakes } from "./measure-takes.js";

/** Returns that share less than this share no more than their pauses, as a share of one. */
const leastShare = 0.02;

/**
 * Returns that lie over each other on one channel hold two paths at once, or one played twice over:
 * whatever is read from either is not its own.
 *
 * @param takes of each path, measured
 * @returns the same, those as unusable
 */
export function dropOverlaps(takes: MeasuredTakes): MeasuredTakes {
  const all = [...takes.values()].flat().map(({ found }) => found);
  return new Map(
    [...takes].map(([path, own]) => [
      path,
      own.map((one) => {
        const over = all.find((other) => other !== one.found && overlap(one.found, other));
        return over === undefined ? one : { found: one.found, unusable: describe(one.found, over) };
      }),
    ]),
  );
}

function overlap(one: SignalReturn, other: SignalReturn): boolean {
  if (one.file !== other.file || one.channel !== other.channel) return false;
  const from = Math.max(one.startSample, other.startSample);
  const until = Math.min(endOf(one), endOf(other));
  return until - from > leastShare * Math.min(one.lengthSamples, other.lengthSamples);
}

function endOf({ startSample, lengthSamples }: SignalReturn): number {
  return startSample + lengthSamples;
}

function describe(one: SignalReturn, over: SignalReturn): NotMeasured {
  return { code: "overlap", other: over.startSample < one.startSample ? "earlier" : "later" };
}
