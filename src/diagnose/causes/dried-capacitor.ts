import { difference, findingOn } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";
import { fitLowRollOff } from "../roll-off.js";

/**
 * A capacitor in series with a resistance is a first-order high-pass at 1/(2πRC): less
 * capacitance moves the corner up in inverse proportion, 6 dB per octave below it, and more of
 * the signal stands across the capacitor, which then distorts at low frequency.
 */
const leastLossDb = 0.6;
/** A capacitor explains the whole loss; what leaves more than this share is another shape. */
const mostMissed = 0.25;

export const driedCapacitor: CauseKind = {
  id: "dried-capacitor",
  name: "dried capacitor in the signal path",
  kind: "fault",
  confirmBy:
    "record again with 10 dB more gain: a corner that stays is a coupling capacitor, one that moves is in the gain leg; then bridge it with a good one",
  judge(path) {
    const low = findingOn(path, ["response"], "down");
    const difference_ = path.responseDifference;
    if (!low || (low.atHz ?? 0) > 300 || !difference_ || -low.deviation < leastLossDb) {
      return undefined;
    }
    const fit = fitLowRollOff(difference_);
    if (!fit) return undefined;
    const second = Math.min(...fit.restByOrderDb.slice(1));
    const first = fit.restByOrderDb[0];
    // A share of the loss: a steeper filter misses the shape of a single capacitor, and back.
    const share = second / (first + second + 1e-9);
    if (fit.order !== 1 || fit.restDb > mostMissed * -low.deviation) return undefined;
    const evidence = [
      `low end falls as by one capacitor, corner near ${hz(fit.cornerHz)} (${db(low.deviation)} at ${hz(low.atHz ?? 20)})`,
    ];
    const distortion = findingOn(path, ["thd100"], "up");
    if (distortion) {
      evidence.push(
        `distortion at 100 Hz ${db(difference(path, "thd100") ?? 0)} against its siblings`,
      );
    }
    return { weight: 0.4 + 0.5 * share + (distortion ? 0.1 : 0), evidence };
  },
};
