import type { Desk } from "../../desk/types.js";
import { median } from "../../dsp/robust.js";
import type { Absence } from "../../measure/absence.js";
import { findCurveKind } from "../../measure/curve-kinds.js";
import type { Aspect, ReadingKind } from "../../measure/reading-kind.js";
import { getReadingId, readingKinds } from "../../measure/reading-kinds.js";
import type { Measurement } from "../../measure/types.js";
import { findSumRule, type JudgedSum, judgeSums, type SumToJudge } from "../../rank/sums.js";
import type { Remark } from "../../remark.js";
import { toDifferenceUnit } from "../../text/level-units.js";
import type { PlayedPasses } from "../place/place-passes.js";
import type { ChosenTake } from "../takes/choose-takes.js";

/** Aspects measured without a signal come from all open strips, whichever plays. */
const ofAll: ReadonlySet<Aspect> = new Set(["noise", "hum", "clicks", "offset"]);

const isOfAll = ({ aspect }: Pick<ReadingKind, "aspect">) => ofAll.has(aspect);

/** Takes without the readings of several strips, and these as sums. */
export interface PartedSums {
  readonly chosen: ReadonlyMap<string, ChosenTake>;
  readonly sums: readonly SumToJudge[];
}

/**
 * Removes from each path the readings that belong to several strips open on one channel at once:
 * noise, hum, clicks, and what comes from the bus. These become sums, one for each group.
 *
 * @param passes undefined if nothing was played in passes
 */
export function partSums(
  chosen: ReadonlyMap<string, ChosenTake>,
  passes: PlayedPasses | undefined,
  desk: Pick<Desk, "paths">,
): PartedSums {
  if (passes === undefined) return { chosen, sums: [] };
  const families = new Map(desk.paths.map(({ path, family }) => [path, family]));
  const sums = new Map<string, SumToJudge & { values: number[] }>();
  const parted = new Map<string, ChosenTake>();
  for (const [path, take] of chosen) {
    const open = passes.open.get(path) ?? [path];
    const { measurement } = take.counts;
    if (open.length < 2 || measurement === undefined) {
      parted.set(path, take);
      continue;
    }
    for (const { reading, adds } of summed) {
      const heard = measurement.readings[reading];
      if (heard === undefined) continue;
      const key = `${open.join()}\n${reading}`;
      const sum = sums.get(key) ?? {
        paths: open,
        families: open.map((one) => families.get(one) ?? one),
        reading,
        unit: heard.unit,
        adds,
        values: [],
      };
      sum.values.push(heard.value);
      sums.set(key, sum);
    }
    const own = withoutSums(measurement, open.length);
    parted.set(path, { ...take, counts: { ...take.counts, measurement: own } });
  }
  return { chosen: parted, sums: [...sums.values()] };
}

/** Readings added up for each group: noise without the mains, the mains, and clicks. */
const summed: readonly Pick<SumToJudge, "reading" | "adds">[] = readingKinds.flatMap(({ id }) => {
  const rule = findSumRule(id);
  return rule === undefined ? [] : [{ reading: id, adds: rule.adds }];
});

function isCurveOfAll(name: string): boolean {
  const kind = findCurveKind(name);
  return kind !== undefined && ofAll.has(kind.aspect);
}

function withoutSums(measurement: Measurement, strips: number): Measurement {
  const why: Absence = { code: "of-open-strips", strips };
  // Clicks may come from any of the strips.
  const { marks, partner, ...rest } = measurement;
  const own = marks?.filter(({ kind }) => kind !== "click");
  return {
    ...rest,
    ...withoutReadingsOfAll(measurement, why),
    ...(own && own.length > 0 ? { marks: own } : {}),
    ...(partner ? { partner: { ...partner, ...withoutReadingsOfAll(partner, why) } } : {}),
  };
}

function withoutReadingsOfAll(
  measurement: Pick<Measurement, "readings" | "absent" | "curves">,
  why: Absence,
): Pick<Measurement, "readings" | "absent" | "curves"> {
  const readings = { ...measurement.readings };
  const absent = { ...measurement.absent };
  for (const kind of readingKinds) {
    if (!isOfAll(kind) || readings[kind.id] === undefined) continue;
    delete readings[kind.id];
    absent[kind.id] = why;
  }
  const curves = Object.fromEntries(
    Object.entries(measurement.curves).filter(([name]) => !isCurveOfAll(name)),
  );
  for (const name of Object.keys(measurement.curves)) if (!(name in curves)) absent[name] = why;
  return { readings, absent, curves };
}

/** Judges the sums by comparison with each other and with an earlier round. */
export function judgePassSums(
  sums: readonly SumToJudge[],
  earlier: ReadonlyMap<string, Measurement["readings"]>,
  before: readonly JudgedSum[] = [],
): readonly JudgedSum[] {
  const hiss = new Map(
    sums.flatMap(({ reading, paths, values }) =>
      reading === getReadingId("hiss") ? [[paths.join(), median(values)] as const] : [],
    ),
  );
  const withHiss = sums.map((sum): SumToJudge => {
    const hissDb = hiss.get(sum.paths.join());
    return sum.adds === "phase" && hissDb !== undefined ? { ...sum, hissDb } : sum;
  });
  return judgeSums(withHiss, (path, reading) => earlier.get(path)?.[reading]?.value, before);
}

/** Remarks on sums: on each that is too high, and one on those that cannot be judged. */
export function listSumRemarks(sums: readonly JudgedSum[]): readonly Remark[] {
  const high = sums.flatMap((one): Remark[] => {
    const { verdict, reading, paths, value, expected, against, unit } = one;
    if (verdict !== "too-high" || expected === undefined || against === undefined) return [];
    const above = value - expected;
    // For units relative to the tone or full scale, differences are in decibels.
    const difference = toDifferenceUnit(unit);
    return [{ code: "sum-too-high", reading, paths, above, unit: difference, against }];
  });
  const unjudged = sums.filter(({ verdict }) => verdict === "cannot-tell");
  const inPhase = unjudged.flatMap(({ reading, paths, value, expected }): Remark[] =>
    expected === undefined
      ? []
      : [{ code: "sum-in-phase", reading, paths, above: value - expected }],
  );
  const told = [...high, ...inPhase];
  const open = unjudged.filter(({ expected }) => expected === undefined);
  if (open.length === 0) return told;
  const readings = [...new Set(open.map(({ reading }) => reading))];
  const { size } = new Set(open.flatMap(({ paths }) => paths));
  return [...told, { code: "sums-unjudged", readings, paths: size }];
}
