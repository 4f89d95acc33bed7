import { nameSecondFamily } from "../../rank/partner-path.js";
import type { RoundPath } from "../types.js";

/** One side of a path in both rounds; a path recorded in mono has one side only. */
export interface PathPair {
  readonly path: string;
  /** Siblings in the later round; second sides of a bus are siblings of second sides. */
  readonly family: string;
  readonly earlier: PairedMeasurement;
  readonly later: PairedMeasurement;
}

export type PairedMeasurement = Pick<
  RoundPath,
  "readings" | "absent" | "absences" | "curves" | "otherTakes"
>;

/** The first sides of paths that both rounds have measured. */
export function pairFirstSides(
  earlier: ReadonlyMap<string, RoundPath>,
  later: readonly RoundPath[],
): readonly PathPair[] {
  return later.flatMap((path) => {
    const before = earlier.get(path.path);
    if (before?.status !== "measured" || path.status !== "measured") return [];
    return [{ path: path.path, family: path.family, earlier: before, later: path }];
  });
}

/** The second sides, where both rounds were recorded in stereo. */
export function pairSecondSides(
  earlier: ReadonlyMap<string, RoundPath>,
  later: readonly RoundPath[],
): readonly PathPair[] {
  return pairFirstSides(earlier, later).flatMap(({ path, family }) => {
    const before = earlier.get(path)?.partner;
    const after = later.find((one) => one.path === path)?.partner;
    if (before === undefined || after === undefined || before.side !== after.side) return [];
    return [{ path, family: nameSecondFamily(family, after.side), earlier: before, later: after }];
  });
}
