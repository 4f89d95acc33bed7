import type { SignalReturn } from "../../capture/types.js";
import type { NotMeasured } from "../../not-measured.js";
import type { MeasuredTakes } from "./measure-takes.js";

/** Share of a return's length; with less overlap only pauses overlap. */
const leastShare = 0.02;

/**
 * Returns that overlap on one channel contain two paths at once, or one path twice: no reading
 * belongs to one alone.
 *
 * @param takes of each path, measured
 *
 * @returns the same, with these marked unusable
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
