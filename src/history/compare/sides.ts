import type { SideMeasurement } from "../../measure/types.js";
import type { RoundPath } from "../types.js";

/** One side of a path in both rounds; a path recorded in mono has one side only. */
export interface Pair {
  readonly path: string;
  /** Siblings of the later round; second sides of a bus are siblings of second sides. */
  readonly family: string;
  readonly earlier: Measured;
  readonly later: Measured;
}

export type Measured = Pick<RoundPath, "readings" | "absent" | "curves" | "otherTakes">;

/** The first sides of paths that both rounds have measured. */
export function firstSides(
  earlier: ReadonlyMap<string, RoundPath>,
  later: readonly RoundPath[],
): readonly Pair[] {
  return later.flatMap((path) => {
    const before = earlier.get(path.path);
    if (before?.status !== "measured" || path.status !== "measured") return [];
    return [{ path: path.path, family: path.family, earlier: before, later: path }];
  });
}

/** The second sides, where both rounds were recorded in stereo. */
export function secondSides(
  earlier: ReadonlyMap<string, RoundPath>,
  later: readonly RoundPath[],
): readonly Pair[] {
  return firstSides(earlier, later).flatMap(({ path, family }) => {
    const before = earlier.get(path)?.partner;
    const after = later.find((one) => one.path === path)?.partner;
    if (before === undefined || after === undefined || before.side !== after.side) return [];
    return [{ path, family: sideFamily(family, after), earlier: before, later: after }];
  });
}

function sideFamily(family: string, { side }: SideMeasurement): string {
  return `${family}, ${side} side`;
}
