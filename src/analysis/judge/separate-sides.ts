import type { DeskPath } from "../../desk/types.js";
import type { PathToRank } from "../../rank/family-stats.js";
import { toPartnerPath } from "../../rank/partner-path.js";
import { separateShared } from "../../rank/shared/separate-shared.js";
import type { PlacedInput, SharedFault, SharedStructure } from "../../rank/shared/types.js";

/** A shared fault with the round's paths: if only second sides show it, it belongs to that side. */
function ofPaths(
  fault: SharedFault,
  placed: readonly PlacedInput[],
  known: ReadonlySet<string>,
): SharedFault {
  const own = fault.paths.filter((path) => known.has(path));
  if (own.length > 0) return { ...fault, paths: own };
  const hit = new Set(fault.paths);
  const seconds = placed.filter((one) => hit.has(toPartnerPath(one)?.path ?? ""));
  const side = seconds[0]?.measurement?.partner?.side;
  const part = side === undefined ? fault.part : { ...fault.part, side };
  return { ...fault, part, paths: seconds.map(({ path }) => path) };
}

/**
 * Separates what strips share from what belongs to each path, on both sides of a stereo bus.
 *
 * @param paths one for each input, in order
 * @returns inputs in the order given, without the shares of the faults
 */
export function separateSides(
  paths: readonly Pick<DeskPath, "strip" | "input">[],
  inputs: readonly PathToRank[],
  structure: SharedStructure,
): { readonly faults: readonly SharedFault[]; readonly inputs: readonly PlacedInput[] } {
  const placed = inputs.map((one, i): PlacedInput => {
    const { strip, input } = paths[i];
    return { ...one, strip, input };
  });
  const sides = placed.flatMap((one): readonly PlacedInput[] => {
    const second = toPartnerPath(one);
    return second ? [one, { ...second, strip: one.strip, input: one.input }] : [one];
  });
  const { faults, inputs: separated } = separateShared(sides, structure);
  if (faults.length === 0) return { faults, inputs: placed };
  const byPath = new Map(separated.map((one) => [one.path, one]));
  const known = new Set(placed.map(({ path }) => path));
  return {
    faults: faults.map((fault) => ofPaths(fault, placed, known)),
    inputs: placed.map((one) => {
      const first = byPath.get(one.path) ?? one;
      const second = toPartnerPath(one);
      const other = second && byPath.get(second.path)?.measurement;
      const { measurement } = first;
      if (!measurement?.partner || !other) return first;
      const { readings, absent, curves } = other;
      const partner = { ...measurement.partner, readings, absent, curves };
      return { ...first, measurement: { ...measurement, partner } };
    }),
  };
}
