/** At least this many returns must fit another path better; of families alone, two far better. */
const leastAffected = { earlier: 3, families: 2 } as const;
/** Of the returns whose path would be another, this share must fit that one better. */
const leastShare = 0.6;
/**
 * So much better, in natural logarithms of likelihood: in all, and without the two returns that
 * gain most, since a repair or a new fault makes single returns fit another path; and by families
 * alone, for each of the returns that count.
 */
const leastGain = { inAll: 12, withoutTwo: 3, ofFamily: 6 } as const;
/**
 * Where the number of returns says that one was skipped or played twice, it is only asked where: a
 * single return that fits another path better is enough.
 */
const leastGainOfCount = { earlier: 5, families: 6 } as const;
/** How much better the returns fit another reading of the same recordings. */
interface Gains {
  /** What they are compared with: the last round, or their families alone. */
  readonly by: "earlier" | "families";
  /** The number of returns says that there is such an error somewhere. */
  readonly isCounted: boolean;
  /** Of all together, nats. */
  readonly gain: number;
  /** Of each whose path would be another; negative where it fits worse. */
  readonly gains: readonly number[];
}

/** Whether another reading is far likelier than the one taken, for returns one by one as well as in all. */
export function isLikelier({ by, isCounted, gain, gains }: Gains): boolean {
  const better = gains.filter((one) => one > 0).length;
  const isBetter = better >= leastShare * gains.length;
  const clear = gains.filter((one) => one > leastGain.ofFamily).length;
  if (isCounted) {
    if (gain < leastGainOfCount[by]) return false;
    return by === "families" ? clear >= 1 : better >= 1 && isBetter;
  }
  if (gain < leastGain.inAll) return false;
  if (by === "families") return clear >= leastAffected.families;
  if (better < leastAffected.earlier || !isBetter) return false;
  const [first = 0, second = 0] = [...gains].sort((a, b) => b - a);
  return gain - first - second >= leastGain.withoutTwo;
}

/** Which way returns are shifted, and the first path that is another's. */
export interface Shift {
  readonly places: "late" | "early";
  readonly first: string;
}

interface ShiftGain {
  readonly gain: number;
  readonly shift: Shift | undefined;
}

/** Places that are likelier by less than this are reported together. */
const sameGain = 3;
/**
 * The first and the last place from which on a shift is about as likely.
 *
 * @param best the likeliest reading
 * @param told all that are likelier than the one taken, in the order of play
 * @returns undefined for one place alone
 */
export function findRange(
  best: ShiftGain,
  told: readonly ShiftGain[],
): readonly [string, string] | undefined {
  const firsts = told.flatMap(({ gain, shift }) =>
    shift !== undefined && shift.places === best.shift?.places && gain > best.gain - sameGain
      ? [shift.first]
      : [],
  );
  const last = firsts.at(-1);
  return firsts.length < 2 || last === undefined ? undefined : [firsts[0], last];
}
