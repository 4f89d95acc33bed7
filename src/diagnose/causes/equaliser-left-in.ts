import { findingOn, largestDifference, type ResponseDifference } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";

/** An equaliser lifts, or dips and recovers: no single failing part does. */
const clearDb = 1;

export const equaliserLeftIn: CauseKind = {
  id: "equaliser-left-in",
  name: "equaliser left in or off centre",
  kind: "setting",
  confirmBy: "switch the equaliser out, centre its controls and record this path again",
  judge(path) {
    const shape = findingOn(path, ["response"], "either");
    const curve = path.responseDifference;
    if (!shape || !curve) return undefined;
    const most = extremes(curve);
    const lifted = most.highest > clearDb;
    // A dip between two stretches that are back near the siblings is a bell, not a roll-off.
    const dipped = most.lowest < -clearDb && recovers(curve, most.lowestHz, most.lowest);
    if (!lifted && !dipped) return undefined;
    const evidence = lifted
      ? [
          `response ${db(most.highest)} near ${hz(most.highestHz)}: a lift, which no ageing part gives`,
        ]
      : [`response ${db(most.lowest)} near ${hz(most.lowestHz)}, recovering on both sides`];
    const middle = Math.abs(largestDifference(path, 900, 1100));
    return { weight: middle < 0.5 ? 0.7 : 0.6, evidence };
  },
};

function extremes({ x, y }: ResponseDifference) {
  let high = 0;
  let low = 0;
  y.forEach((db, i) => {
    if (db > y[high]) high = i;
    if (db < y[low]) low = i;
  });
  return { highest: y[high], highestHz: x[high], lowest: y[low], lowestHz: x[low] };
}

function recovers({ x, y }: ResponseDifference, atHz: number, depth: number): boolean {
  const back = (i: number) => y[i] > depth * 0.4;
  const below = x.some((hz, i) => hz < atHz / 1.5 && back(i));
  const above = x.some((hz, i) => hz > atHz * 1.5 && back(i));
  return below && above;
}
