import type { Round } from "../../history/types.js";
import { getReadingId } from "../../measure/reading-kinds.js";
import { addUpSum, findSumRule, type JudgedSum } from "../../rank/sums.js";
import type { HeldRounds } from "./judge-path.js";
import { computeCommonMove, isLevel } from "./probe.js";
import type { SumOutcome } from "./sum-outcome.js";

/**
 * Judges the sums of a re-test: by the same sum of the earlier round or, if there is none, by the
 * readings of the single strips added up. The latter counts the bus once per strip, so a sum above
 * it is too high, but one below proves nothing unless it is as low as each strip alone.
 */
export function judgeSumsAgain({
  base,
  round,
  pairs,
  conditions,
}: Pick<HeldRounds, "base" | "round" | "pairs" | "conditions">): readonly SumOutcome[] {
  const strips = new Map(
    [...base.paths, ...round.paths].map(({ path, strip }) => [path, strip] as const),
  );
  const level =
    conditions.calibration === "none"
      ? computeCommonMove(pairs.all, { reading: getReadingId("level") }, conditions)
      : undefined;
  return (round.sums ?? []).map((sum): SumOutcome => {
    const { paths, reading, unit, value } = sum;
    const { adds, most } = findSumRule(reading) ?? { adds: undefined, most: 0 };
    const head = {
      paths,
      strips: [...new Set(paths.map((path) => strips.get(path) ?? path))],
      reading,
      unit,
      value,
      most,
    };
    const shift = isLevel(unit) ? (level?.change ?? 0) : 0;
    if (adds === undefined) return { ...head, standing: "unsure" };
    const same = findSameSum(sum, base);
    if (same !== undefined) {
      const then = same.verdict === "too-high" ? (same.expected ?? same.value) : same.value;
      const expected = then + shift;
      return {
        ...head,
        against: "before",
        expected,
        standing: value - expected > most ? "beyond" : "within",
      };
    }
    const alone = paths.map((path) => readSoundAlone(path, sum, base));
    const added = addUpSum(alone, adds === "count" ? "count" : "power");
    // Hum adds by phase: up to all amplitudes in phase is not too high.
    const inPhase = adds === "phase" ? addUpSum(alone, "phase") : added;
    if (added === undefined || inPhase === undefined) return { ...head, standing: "unsure" };
    const expected = added + shift;
    const least = Math.min(...alone.map((one) => one ?? Number.NEGATIVE_INFINITY)) + shift;
    const standing =
      value - (inPhase + shift) > most ? "beyond" : value - least <= most ? "within" : "unsure";
    return { ...head, against: "alone", expected, standing };
  });
}

/** The sum of the same paths in the same reading and unit. */
function findSameSum(
  { paths, reading, unit }: Pick<JudgedSum, "paths" | "reading" | "unit">,
  { sums = [] }: Pick<Round, "sums">,
): JudgedSum | undefined {
  const key = [...paths].sort().join("\n");
  return sums.find(
    (one) =>
      one.reading === reading && one.unit === unit && [...one.paths].sort().join("\n") === key,
  );
}

/** A path's own reading; for a path with findings, that of its siblings. */
function readSoundAlone(
  name: string,
  { reading, unit }: Pick<JudgedSum, "reading" | "unit">,
  { paths }: Pick<Round, "paths">,
): number | undefined {
  const path = paths.find((one) => one.path === name);
  const found = path?.readings[reading];
  if (path === undefined || found === undefined || found.unit !== unit) return undefined;
  const finding = path.findings.find(
    (one) => one.reading === reading && one.severity !== "remark" && one.atHz === undefined,
  );
  return finding === undefined ? found.value : Math.min(found.value, finding.expected);
}
