import { commonPractice, inUse, solderingRisk, unplugged } from "../bench.js";
import {
  formatDb,
  type PredictedCause,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
  predictLevelRanges,
} from "../cause-kind.js";
import { getDeviation, isOutlier, isTelling } from "../path-evidence.js";

/**
 * A differential input with one leg open sees half the voltage: 6.02 dB lost at every frequency,
 * and what the cable gathers on both legs alike is no longer cancelled. Loading of the legs moves
 * the figure by half a decibel.
 */
const lossDb = [-6.7, -5.3] as const;
/** From here on hum shows in other readings too. */
const grossDb = 20;

export const openLeg: PredictedCause<"open-leg"> = {
  id: "open-leg",
  name: "one leg of the balanced input open",
  word: "open leg",
  kind: "fault",
  shownBy: ["round", "use"],
  seat: ["socket", "input stage"],
  prior: 0.05,
  settle: inUse(
    "swap the cable with a sibling's and record again: if the 6 dB stay lost, the open leg is in the socket or in the strip",
    undefined,
    ["recording set-up", "good cable"],
  ),
  ready: "a known good cable, solder for the socket, the input's series resistors",
  tryNow: "is the plug fully in? Push it home, or try another cable",
  confusedWith: [
    {
      cause: "gain-off",
      check:
        "change nothing but the cable: the level recovers if the cable was open; an open leg also hums",
    },
    { cause: "pad-in", check: "a pad takes 10 dB or more, an open leg 6" },
  ],
  bench: {
    steps: [
      unplugged(
        "With the desk off, unplugged and discharged, measure the resistance from pin 2 and from pin 3 of the socket to the input stage: the two legs must read the same.",
        undefined,
        ["multimeter"],
      ),
      unplugged(
        "Look at the solder joints of the socket, the ribbon's contact and the series resistors of both legs.",
      ),
    ],
    repair: "Resolder the joint, clean the contact or replace the open resistor.",
    parts: [
      { role: "socket", count: 1 },
      { role: "resistor", count: 2 },
    ],
    minutes: 25,
    risk: solderingRisk,
    source: commonPractice,
  },
  notes: [{ symptoms: { quiet: 3, hum: 1, thin: 1 } }],
  predict(path) {
    const lost = getDeviation(path, "gain");
    if (lost === undefined || lost < lossDb[0] - 1.5 || lost > lossDb[1] + 1.5) return undefined;
    const evidence = [
      `gain ${formatDb(lost)} at all frequencies: half the voltage, one leg of two`,
    ];
    const hum = getDeviation(path, "humOdd") ?? getDeviation(path, "hum");
    const hums = isOutlier(path, "humOdd", "up") || isOutlier(path, "hum", "up");
    if (hum !== undefined && hums) {
      evidence.push(`hum ${formatDb(hum)}: what the cable picks up no longer cancels`);
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
      // Half the voltage without the hum is a coincidence; less of one where no hum could be read:
      // a cable in no field gathers none on either leg.
      fitted: hums ? 0 : isTelling(path, "humOdd") || isTelling(path, "hum") ? 2 : 1,
      evidence,
    };
  },
};
