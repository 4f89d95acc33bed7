import type { Rounds } from "../../history/compare/common-units.js";
import type { Conditions } from "../../history/compare/conditions.js";
import { toMeasurement } from "../../history/to-path-to-rank.js";
import type { RoundFinding, RoundPath } from "../../history/types.js";
import { findReadingKind } from "../../measure/reading-kinds.js";
import type { PathToRank } from "../../rank/family-stats.js";
import { rankPaths } from "../../rank/rank.js";
import { type HeldRounds, listReference } from "./judge-path.js";
import { computeCommonMove, minInCommon } from "./probe.js";

/** The paths measured in both rounds: all, and those of untouched strips. */
export function pairPaths(
  { earlier, later }: Rounds,
  touched: readonly string[],
): HeldRounds["pairs"] {
  const before = new Map(earlier.paths.map((path) => [path.path, path]));
  const all = later.paths.flatMap((now) => {
    const was = before.get(now.path);
    return was?.status === "measured" && now.status === "measured" ? [{ was, now }] : [];
  });
  return { all, untouched: all.filter(({ now }) => !touched.includes(now.strip)) };
}

/**
 * Ranks every re-tested path among the siblings of the earlier round, after subtracting the common
 * change of its family. Readings that cannot be compared are left out.
 *
 * @returns findings by path, including that nothing came back
 */
export function rankAmongBase(
  { earlier, later }: Rounds,
  pairs: HeldRounds["pairs"],
  conditions: Conditions,
): ReadonlyMap<string, readonly RoundFinding[]> {
  const now = new Map(later.paths.map((path) => [path.path, path]));
  const withoutMove = createMoveRemover(pairs, conditions);
  const inputs = earlier.paths.flatMap((path): PathToRank[] => {
    const one = now.get(path.path);
    const taken = one?.status === "measured" ? withoutMove(one, path) : path;
    if (taken.status !== "measured") return [];
    const { partner: _, ...measurement } = toMeasurement(taken);
    return [{ path: path.path, family: path.family, measurement }];
  });
  const ranked = new Map(rankPaths(inputs).map(({ path, findings }) => [path, findings]));
  return new Map(
    later.paths.map((path) => [
      path.path,
      path.status === "measured"
        ? (ranked.get(path.path) ?? [])
        : path.findings.filter(({ reading }) => reading === "return"),
    ]),
  );
}

/** Subtracts the common change of a family from a path's readings and curves. */
function createMoveRemover(pairs: HeldRounds["pairs"], conditions: Conditions) {
  const moves = new Map<string, number>();
  const moveOf = (family: string, reading: string, atHz?: number) => {
    const key = `${family}\n${reading}\n${atHz ?? ""}`;
    const known = moves.get(key);
    if (known !== undefined) return known;
    const probe = { reading, atHz };
    const move = computeCommonMove(listReference(pairs, family), probe, conditions);
    // The change of a single path is not a common change.
    const change = move === undefined || move.count < minInCommon ? 0 : move.change;
    moves.set(key, change);
    return change;
  };
  return (now: RoundPath, then: RoundPath): RoundPath => {
    const readings = Object.entries(now.readings).flatMap(([id, reading]) => {
      const comparable =
        conditions.refused(id) === undefined &&
        (then.readings[id] === undefined || then.readings[id].unit === reading.unit);
      const value = reading.value - moveOf(then.family, id);
      // A reading of few values, such as polarity, has no median.
      return comparable
        ? [[id, findReadingKind(id)?.values ? reading : { ...reading, value }] as const]
        : [];
    });
    const curves = Object.entries(now.curves).flatMap(([id, curve]) => {
      if (conditions.refused(id) !== undefined) return [];
      if (then.curves[id] !== undefined && then.curves[id].yUnit !== curve.yUnit) return [];
      const moved = curve.x.map((hz) => moveOf(then.family, id, hz));
      const less = (list: readonly number[]) => list.map((value, i) => value - moved[i]);
      const floor = curve.floor === undefined ? {} : { floor: less(curve.floor) };
      return [[id, { ...curve, y: less(curve.y), ...floor }] as const];
    });
    return { ...now, readings: Object.fromEntries(readings), curves: Object.fromEntries(curves) };
  };
}
