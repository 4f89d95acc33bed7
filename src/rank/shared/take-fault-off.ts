import { getReadingId } from "../../measure/reading-kinds.js";
import { groupBy } from "../../text/group-by.js";
import type { Score } from "./score-candidate.js";
import { findPooledShares, findShares, type Shares, subtractShares } from "./subtract-share.js";
import type { PlacedInput } from "./types.js";

/**
 * The paths without the contribution of a fault, family by family.
 *
 * @example
 * const strips = ["1", "2", "3", "4", "5", "6"];
 * const inputs = strips.map((strip, k) => ({
 *   path: `${strip}/mic`,
 *   strip,
 *   input: "mic",
 *   family: "mic",
 *   measurement: {
 *     readings: { gain: { value: k < 3 ? -6 : 0, unit: "dB", uncertainty: 0.01 } },
 *     absent: {},
 *     curves: {},
 *   },
 * }));
 * const candidate = { part: { kind: "ribbon", name: "A" }, members: new Set(["1/mic", "2/mic", "3/mic"]) };
 * const [first] = takeFaultOff(inputs, { candidate, moved: [] });
 * first.measurement.readings.gain.value; // 0
 */
export function takeFaultOff(
  inputs: readonly PlacedInput[],
  { candidate, moved }: Pick<Score, "candidate" | "moved">,
): readonly PlacedInput[] {
  const { members, part, isThrough } = candidate;
  const families = groupBy(inputs, ({ family }) => family);
  const level = moved.find(({ row }) => row.aspect === "level");
  const shares = new Map<string, Shares>();
  const compared = [...families].flatMap(([family, own]) => {
    const of = (inside: "inside" | "outside") =>
      own.flatMap(({ path, measurement }) =>
        measurement && members.has(path) === (inside === "inside") ? [measurement] : [],
      );
    const sides = { inside: of("inside"), outside: of("outside") };
    if (sides.outside.length > 0) return [{ family, sides }];
    if (part.kind === "level" && level) shares.set(family, shiftAll(level.deviation));
    return [];
  });
  const pooled = isThrough ? findPooledShares(compared.map(({ sides }) => sides)) : undefined;
  compared.forEach(({ family, sides }, k) => {
    shares.set(family, pooled?.[k] ?? findShares(sides));
  });
  return inputs.map((one) => {
    const own = shares.get(one.family);
    if (!own || !members.has(one.path)) return one;
    if (!one.measurement) return withoutSilence(one, moved);
    return { ...one, measurement: subtractShares(one.measurement, own) };
  });
}

/** A path that is silent because of a dead shared part says nothing about itself. */
function withoutSilence(one: PlacedInput, moved: Score["moved"]): PlacedInput {
  if (one.loud !== undefined || !moved.some(({ row }) => row.aspect === "dead")) return one;
  const { unheard: _, ...rest } = one;
  return rest;
}

function shiftAll(deviation: number): Shares {
  const share = { inside: deviation, outside: 0, scatter: 0 };
  const ids = [getReadingId("gain"), getReadingId("level")];
  return { readings: Object.fromEntries(ids.map((id) => [id, share])), curves: {} };
}
