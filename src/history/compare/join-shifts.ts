import type { FamilyShift } from "./readings.js";
import type { CommonShift } from "./types.js";

/** Families whose changes agree within their uncertainties are reported together. */
export function joinShifts(shifts: readonly FamilyShift[]): readonly CommonShift[] {
  const groups: FamilyShift[][] = [];
  for (const shift of shifts) {
    const group = groups.find((others) => others.every((other) => isAlike(other, shift)));
    if (group) group.push(shift);
    else groups.push([shift]);
  }
  return groups.map((group): CommonShift => {
    const { family: _, ...most } = group.reduce((a, b) => (b.paths > a.paths ? b : a));
    const weights = group.map(({ uncertainty }) => 1 / Math.max(uncertainty, 1e-12) ** 2);
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    return {
      ...most,
      families: group.map(({ family }) => family),
      paths: group.reduce((sum, { paths }) => sum + paths, 0),
      shift: group.reduce((sum, { shift }, k) => sum + weights[k] * shift, 0) / total,
      uncertainty: Math.max(...group.map(({ uncertainty }) => uncertainty)),
    };
  });
}

function isAlike(a: FamilyShift, b: FamilyShift): boolean {
  if (a.reading !== b.reading || (a.atHz === undefined) !== (b.atHz === undefined)) return false;
  if (Math.sign(a.shift) !== Math.sign(b.shift)) return false;
  if (Math.abs(Math.log2((a.atHz ?? 1) / (b.atHz ?? 1))) > 1) return false;
  const apart = Math.abs(a.shift - b.shift);
  return (
    apart <= 1.75 * Math.hypot(a.uncertainty, b.uncertainty) || apart <= 0.1 * Math.abs(a.shift)
  );
}
