import {
  type CauseKind,
  formatDb,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
} from "../cause-kind.js";
import { getDeviation, isOutlier } from "../path-evidence.js";

/** What a rectifier leaves on a supply is at twice the mains frequency and its multiples. */
/** From here on hum shows in other readings too. */
const grossDb = 20;

export const supplyRipple: CauseKind = {
  id: "supply-ripple",
  name: "supply ripple: local decoupling or regulator",
  kind: "fault",
  prior: 0.05,
  confirmBy:
    "look at the strip's supply pins with an oscilloscope, a.c. coupled; bridge the decoupling capacitors with good ones",
  ready: "electrolytics of the strip's decoupling values, a regulator where the strip has one",
  care: "under power: leave supply and mains work to licensed people and follow local codes",
  confusedWith: [
    {
      cause: "ground-hum",
      check: "move the cable and turn the strip's gain down: ripple takes no notice of the cable",
    },
  ],
  predict(path) {
    const even = getDeviation(path, "humEven");
    if (even === undefined || !isOutlier(path, "humEven", "up")) return undefined;
    const odd = getDeviation(path, "humOdd") ?? 0;
    return {
      moves: {
        ...predictHissRanges([-1, 2]),
        ...((odd ?? 0) > grossDb || (even ?? 0) > grossDb ? predictHumMixing() : {}),
        ...predictHumRanges([-2, Math.max(2, even - 4)], [1.5, 70]),
        noise: [-1, 80],
        noiseA: [-1, 50],
        thd: [-1, 6],
        instability: [-1, 10],
      },
      evidence: [
        `even multiples of the mains ${formatDb(even)}${odd > 1 ? `, odd ones ${formatDb(odd)}` : ", odd ones as the siblings'"}`,
      ],
    };
  },
};
