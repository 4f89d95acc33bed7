import { dbToAmplitude, powerToDb } from "../dsp/decibels.js";
import { median } from "../dsp/robust.js";
import { groupBy } from "../text/group-by.js";

/** What several strips, open at once on one channel, gave together. */
export interface SumToJudge {
  /** All whose strips were open. */
  readonly paths: readonly string[];
  /** The same, by what they are: sums of alike families are compared. */
  readonly families: readonly string[];
  /** What is added up: its id, and how it adds. */
  readonly reading: string;
  readonly unit: string;
  readonly adds: "power" | "count";
  /** As each of the returns heard it. */
  readonly values: readonly number[];
}

/** A sum as judged: what one strip has cannot be told from it, only whether any has too much. */
export interface JudgedSum extends Pick<SumToJudge, "paths" | "reading" | "unit"> {
  readonly value: number;
  /** What so many sound strips add up to; absent where nothing tells. */
  readonly expected?: number;
  /** `siblings`: other sums of the same kind; `earlier`: the paths' own figures, an upper bound. */
  readonly against?: "siblings" | "earlier";
  readonly verdict: "sound" | "too-high" | "cannot-tell";
}

/**
 * Sums of eight alike strips scatter by a third of what single ones do; hum depends on cables. Beyond
 * this a sum is too high, decibels, and clicks by so many a second (common practice).
 */
const mostAbove: Readonly<Record<string, number>> = { noise: 1.5, hum: 6, clicks: 1 };

/** Fewer other sums of a kind are no yardstick. */
const leastSiblings = 2;

/**
 * Judges sums against what so many sound strips add up to: other sums of the same families in the same
 * round; without those the figures that the paths had by themselves in an earlier round, added up.
 * That counts the bus once for each path, so it is never too low.
 *
 * @param aspectOf of a reading: noise, hum or clicks
 * @param single figure of a path by itself in an earlier round, in the reading's unit
 * @example
 * const sum = (noise, first) => ({
 *   paths: [`${first}/mic`, `${first + 1}/mic`],
 *   families: ["mic", "mic"],
 *   reading: "noise",
 *   unit: "dBFS",
 *   adds: "power",
 *   values: [noise],
 * });
 * const judged = judgeSums([sum(-90, 1), sum(-90, 3), sum(-80, 5)], () => "noise", () => undefined);
 * judged[2].expected; // -90
 * judged[2].verdict; // "too-high"
 */
export function judgeSums(
  sums: readonly SumToJudge[],
  aspectOf: (reading: string) => string,
  single: (path: string, reading: string) => number | undefined,
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
    const expected = isAlike
      ? median(others.map((one) => median(one.values)))
      : addUp(
          paths.map((path) => single(path, reading)),
          sum.adds,
        );
    if (expected === undefined) return { ...head, verdict: "cannot-tell" };
    const most = mostAbove[aspectOf(reading)] ?? 0;
    return {
      ...head,
      expected,
      against: isAlike ? "siblings" : "earlier",
      verdict: value - expected > most ? "too-high" : "sound",
    };
  });
}

/**
 * What so many figures add up to; undefined where one is missing.
 */
function addUp(
  values: readonly (number | undefined)[],
  adds: SumToJudge["adds"],
): number | undefined {
  let sum = 0;
  for (const value of values) {
    if (value === undefined) return undefined;
    sum += adds === "power" ? dbToAmplitude(value) ** 2 : value;
  }
  return adds === "power" ? powerToDb(sum) : sum;
}
