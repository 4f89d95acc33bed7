import { amplitudeToDb, dbToAmplitude, powerToDb } from "../dsp/decibels.js";
import { median } from "../dsp/robust.js";
import { findReadingKind } from "../measure/reading-kinds.js";
import { groupBy } from "../text/group-by.js";
import { floorHum } from "./shared/rows.js";

/** A sum of several strips open at once on one channel. */
export interface SumToJudge {
  /** All paths whose strips were open. */
  readonly paths: readonly string[];
  /** Their families: sums of the same families are compared. */
  readonly families: readonly string[];
  /** Id of the reading. */
  readonly reading: string;
  readonly unit: string;
  readonly adds: "power" | "phase" | "count";
  /** Value in each of the returns. */
  readonly values: readonly number[];
  /** For hum: the hiss of the same strips, which may hide it, in the unit of `values`. */
  readonly hissDb?: number;
}

/** A judged sum: it does not show the value of one strip, only whether any is too high. */
export interface JudgedSum extends Pick<SumToJudge, "paths" | "reading" | "unit"> {
  readonly value: number;
  /** Sum expected of healthy strips; absent if unknown. */
  readonly expected?: number;
  /**
   * `siblings`: other sums of the same kind; `earlier`: the paths' single readings, an upper bound.
   */
  readonly against?: "siblings" | "earlier";
  /**
   * `cannot-tell` with an expected value: it is higher, but no more than strips in phase may give.
   */
  readonly verdict: "sound" | "too-high" | "cannot-tell";
}

/** How sums of a reading are made and judged. */
export interface SumRule {
  readonly adds: SumToJudge["adds"];
  /** Largest excess over the expected sum: decibels, or clicks per second. */
  readonly most: number;
}

/**
 * How sums of a reading are judged; undefined for one that is not added up. Strips add like the
 * interface's share; readings without such a share are counts.
 *
 * @example
 * findSumRule("hiss"); // { adds: "power", most: 1.5 }
 * findSumRule("gain"); // undefined
 */
export function findSumRule(reading: string): SumRule | undefined {
  const { own, sumTolerance: most } = findReadingKind(reading) ?? {};
  if (most === undefined) return undefined;
  return { adds: own?.adds === "power" || own?.adds === "phase" ? own.adds : "count", most };
}

/**
 * Probability of calling healthy strips too loud because they add in phase by chance: one sum in
 * three hundred.
 */
const inPhaseChance = 0.003;

/**
 * Decibels by which hum of several strips may exceed the median of other such sums by phase alone.
 * All hum has the mains frequency, so amplitudes add with unknown phases. The power of the sum is
 * then distributed exponentially about the sum of powers (Rayleigh, Phil. Mag. 10, 73, 1880), and
 * one over the mean of k others is above x with the chance (1 + x/k)^−k (the F distribution with 2
 * and 2k degrees of freedom). A median is ln 2 times the mean.
 *
 * @param others number of sums to compare with
 * @example
 * // Three others: 3 · (0.003^(−1/3) − 1) / ln 2 in power.
 * computePhaseAllowance(3); // 14.09615
 */
export function computePhaseAllowance(others: number): number {
  return powerToDb((others * (inPhaseChance ** (-1 / others) - 1)) / Math.LN2);
}

/** Number of other sums of a kind needed for comparison. */
const leastSiblings = 2;

/**
 * Judges sums by what healthy strips add up to: other sums of the same families in the same round;
 * without these, the same sum of an earlier round, or else the paths' single readings there, added
 * up. The latter counts the bus once per path, so it is never too low. Hum adds by phase: between
 * the sum of powers and the sum in phase it is undecided.
 *
 * @param single reading of a single path in an earlier round, in the reading's unit
 * @param before sums of that round
 * @example
 * const sum = (hiss, first) => ({
 *   paths: [`${first}/mic`, `${first + 1}/mic`],
 *   families: ["mic", "mic"],
 *   reading: "hiss",
 *   unit: "dBFS",
 *   adds: "power",
 *   values: [hiss],
 * });
 * const judged = judgeSums([sum(-90, 1), sum(-90, 3), sum(-80, 5)], () => undefined);
 * judged[2].expected; // -90
 * judged[2].verdict; // "too-high"
 */
export function judgeSums(
  sums: readonly SumToJudge[],
  single: (path: string, reading: string) => number | undefined,
  before: readonly JudgedSum[] = [],
): readonly JudgedSum[] {
  const kindOf = ({ reading, families }: SumToJudge) =>
    `${reading}\n${[...families].sort().join("\n")}`;
  const kinds = groupBy(sums, kindOf);
  return sums.map((sum): JudgedSum => {
    const { paths, reading, unit } = sum;
    const value = median(sum.values);
    const head = { paths, reading, unit, value };
    const others = (kinds.get(kindOf(sum)) ?? []).filter((one) => one !== sum);
    const isAlike = others.length >= leastSiblings;
    const same = isAlike ? undefined : expectAsBefore(sum, before);
    const alone = paths.map((path) => single(path, reading));
    const expected = isAlike
      ? median(others.map((one) => median(one.values)))
      : (same?.expected ?? addUpSum(alone, sum.adds === "count" ? "count" : "power"));
    const most = findSumRule(reading)?.most;
    if (expected === undefined || most === undefined) return { ...head, verdict: "cannot-tell" };
    const heard = (db: number) => (sum.hissDb === undefined ? db : floorHum(db, sum.hissDb, "odd"));
    const isAbove = heard(value) - heard(expected) > most;
    // No increase says nothing if the earlier sum could not be judged either.
    if (!isAbove && same?.isUnknown) return { ...head, verdict: "cannot-tell" };
    const inPhase = isAlike
      ? expected + computePhaseAllowance(others.length)
      : (addUpSum(alone, "phase") ?? expected) + most;
    const mayBePhase = sum.adds === "phase" && same === undefined && value <= inPhase;
    return {
      ...head,
      expected,
      against: isAlike ? "siblings" : "earlier",
      verdict: !isAbove ? "sound" : mayBePhase ? "cannot-tell" : "too-high",
    };
  });
}

/** Expected value of the same sum from an earlier round; undefined if that has none. */
function expectAsBefore(
  { paths, reading, unit }: SumToJudge,
  before: readonly JudgedSum[],
): { readonly expected: number; readonly isUnknown: boolean } | undefined {
  const same = before.find(
    (one) => one.reading === reading && one.unit === unit && one.paths.join() === paths.join(),
  );
  if (same === undefined) return undefined;
  const { verdict, value, expected = value } = same;
  return {
    expected: verdict === "too-high" ? expected : value,
    isUnknown: verdict === "cannot-tell",
  };
}

/**
 * Sum of values; undefined if one is missing.
 *
 * @param adds as powers, or as amplitudes in phase, of decibels, or one by one
 * @example
 * addUpSum([-80, -80], "power"); // -76.98970004336019
 * addUpSum([-80, -80], "phase"); // -73.97940
 * addUpSum([2, undefined], "count"); // undefined
 */
export function addUpSum(
  values: readonly (number | undefined)[],
  adds: SumToJudge["adds"],
): number | undefined {
  let sum = 0;
  for (const value of values) {
    if (value === undefined) return undefined;
    sum += adds === "count" ? value : dbToAmplitude(value) ** (adds === "power" ? 2 : 1);
  }
  if (adds === "count") return sum;
  return adds === "power" ? powerToDb(sum) : amplitudeToDb(sum);
}
