import type { PlacedFault, PlacedSharedFault, VirtualDeskOptions } from "./types.js";

/** What was done to a desk between a round and the re-test after it. */
export interface DeskRepair {
  /** Faults of the round that were repaired, as they were placed: their parts are new. */
  readonly mended: readonly PlacedFault[];
  /** What went wrong meanwhile: a neighbour's leg opened, its ribbon not pushed home. */
  readonly harmed?: readonly PlacedFault[];
  /** What is otherwise with parts that paths share, such as an earth lead that was forgotten. */
  readonly shared?: readonly PlacedSharedFault[];
  /** How much noisier interface and summing amplifier are, decibels. */
  readonly floorDb?: number;
}

/**
 * The same desk on the occasion after: the same components but those that were replaced, knobs
 * set again, other noise.
 *
 * @param desk as it was in the round
 * @throws RangeError when a fault is said to be repaired that the desk did not have
 *
 * @example
 * const after = virtualDesk(buildRetest(options, { repaired: [options.faults[0]] }));
 */
export function buildRetest(desk: VirtualDeskOptions, retest: DeskRepair): VirtualDeskOptions {
  const { mended, harmed = [], shared = [], floorDb = 0 } = retest;
  const isMended = (fault: PlacedFault) => mended.some((one) => isSame(one, fault));
  const unknown = mended.find((one) => !desk.faults.some((fault) => isSame(one, fault)));
  if (unknown !== undefined) throw new RangeError(`No ${unknown.fault} at ${unknown.at} to mend.`);
  return {
    ...desk,
    occasion: (desk.occasion ?? 0) + 1,
    faults: [...desk.faults.filter((fault) => !isMended(fault)), ...harmed],
    repaired: [...(desk.repaired ?? []), ...mended],
    sharedFaults: [...(desk.sharedFaults ?? []), ...shared],
    ...(floorDb === 0 ? {} : { floorDb: (desk.floorDb ?? 0) + floorDb }),
  };
}

function isSame(a: PlacedFault, b: PlacedFault): boolean {
  return a.at === b.at && a.fault === b.fault;
}
