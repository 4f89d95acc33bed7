import { difference, findingOn, largestDifference } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/**
 * A differential input with one leg open sees half the voltage: 6.02 dB lost at every frequency,
 * and hum of the cable is no longer cancelled.
 */
const halfDb = 20 * Math.log10(2);
const slackDb = 1.5;
const flatDb = 1.5;

export const openLeg: CauseKind = {
  id: "open-leg",
  name: "one leg of the balanced input open",
  kind: "fault",
  confirmBy:
    "swap the cable with a sibling's; then measure from pin 2 and from pin 3 to the input stage, desk off",
  judge(path) {
    const lost = difference(path, "gain");
    if (lost === undefined || Math.abs(lost + halfDb) > slackDb) return undefined;
    const shape = largestDifference(path, 100, 10_000);
    if (Math.abs(shape) > flatDb) return undefined;
    const evidence = [`level ${db(lost)} at all frequencies: half the voltage, one leg of two`];
    const closeness = 1 - Math.abs(lost + halfDb) / slackDb;
    const hum = findingOn(path, ["hum"], "up");
    if (hum) evidence.push(`hum ${db(hum.deviation)}: the cable's hum no longer cancels`);
    return { weight: 0.55 + 0.2 * closeness + (hum ? 0.25 : 0), evidence };
  },
};
