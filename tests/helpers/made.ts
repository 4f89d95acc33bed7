import { type Absent, isAbsent } from "../../src/measure/absence.js";

/** That a reading, a curve or what they are made from could be made; fails with the reason. */
export function assertMade<T extends object>(
  result: T | undefined,
): asserts result is Exclude<T, Absent> {
  if (result === undefined) throw new Error("nothing was made");
  if (isAbsent(result)) throw new Error(`absent: ${JSON.stringify(result.absent)}`);
}
