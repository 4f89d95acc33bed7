import { findingOn } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";
import { fitLowRollOff } from "../roll-off.js";

/** A low-cut switch is a filter of second or third order: 12 or 18 dB per octave, no distortion. */
export const lowCutLeftIn: CauseKind = {
  id: "low-cut-left-in",
  name: "low-cut left in",
  kind: "setting",
  confirmBy: "switch the low-cut off and record this path again",
  judge(path) {
    const low = findingOn(path, ["response"], "down");
    const curve = path.responseDifference;
    if (!low || (low.atHz ?? 0) > 300 || !curve) return undefined;
    const fit = fitLowRollOff(curve);
    if (!fit || fit.order === 1) return undefined;
    const first = fit.restByOrderDb[0];
    const share = first / (first + fit.restDb + 1e-9);
    const distortion = findingOn(path, ["thd100"], "up");
    return {
      weight: 0.4 + 0.5 * share - (distortion ? 0.2 : 0),
      evidence: [
        `low end falls ${6 * fit.order} dB per octave below ${hz(fit.cornerHz)}: a filter, not one capacitor (${db(low.deviation)} at ${hz(low.atHz ?? 20)})`,
      ],
    };
  },
};
