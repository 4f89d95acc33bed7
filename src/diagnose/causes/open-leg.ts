import {
  type CauseKind,
  formatDb,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
  predictLevelRanges,
} from "../cause-kind.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/**
 * A differential input with one leg open sees half the voltage: 6.02 dB lost at every frequency,
 * and what the cable gathers on both legs alike is no longer cancelled. Loading of the legs moves
 * the figure by half a decibel.
 */
const lossDb = [-6.7, -5.3] as const;
/** From here on hum shows in other readings too. */
const grossDb = 20;

export const openLeg: CauseKind = {
  id: "open-leg",
  name: "one leg of the balanced input open",
  kind: "fault",
  prior: 0.05,
  confirmBy:
    "swap the cable with a sibling's and record again; if it stays, measure from pin 2 and from pin 3 to the input stage, desk off",
  ready: "a known good cable, solder for the socket, the input's series resistors",
  confusedWith: [
    {
      cause: "gain-off",
      check:
        "touch nothing but the cable: an open leg comes back with a known good one, and it hums",
    },
    { cause: "pad-in", check: "a pad takes 10 dB or more, an open leg 6" },
  ],
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (lost === undefined || lost < lossDb[0] - 1.5 || lost > lossDb[1] + 1.5) return undefined;
    const evidence = [
      `gain ${formatDb(lost)} at all frequencies: half the voltage, one leg of two`,
    ];
    const hum = getDeviation(path, "humOdd") ?? getDeviation(path, "hum");
    const hums = isOutlier(path, "humOdd", "up") || isOutlier(path, "hum", "up");
    if (hum !== undefined && hums) {
      evidence.push(`hum ${formatDb(hum)}: what the cable gathers no longer cancels`);
    }
    return {
      moves: {
        ...predictLevelRanges(lost),
        gain: lossDb,
        // what comes before the loss goes down with it, the stage's own noise does not
        ...predictHissRanges([-2, 12]),
        noise: [-3, 90],
        ...predictHumRanges([-3, 90], [-3, 80]),
        ...(hum !== undefined && hum > grossDb ? predictHumMixing() : {}),
      },
      // Half the voltage without the hum is a coincidence; less of one where no hum could be read.
      fitted: hums ? 0 : hum === undefined ? 1 : 2,
      evidence,
    };
  },
};
