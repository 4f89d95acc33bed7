import { difference, findingOn, largestDifference } from "../case.js";
import { type CauseKind, db } from "../kind.js";

/** A control off its mark changes level alone: response and distortion stay as they were. */
const flatDb = 1;
const reachDb = 20;

export const gainOff: CauseKind = {
  id: "gain-off",
  name: "gain, fader or pan off the mark",
  kind: "setting",
  confirmBy: "set the controls to the run sheet's marks and record this path again",
  judge(path) {
    const finding = findingOn(path, ["gain"], "either");
    const moved = difference(path, "gain");
    if (!finding || moved === undefined || Math.abs(moved) > reachDb) return undefined;
    if (Math.abs(largestDifference(path, 30, 18_000)) > flatDb) return undefined;
    const others = findingOn(path, ["hum", "thd100"], "up");
    return {
      weight: others ? 0.35 : 0.6,
      evidence: [
        `level ${db(moved)}, the same at all frequencies; the shape of the response is its siblings'`,
      ],
    };
  },
};
