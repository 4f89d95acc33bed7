import {
  type CauseKind,
  formatDb,
  predictHissRanges,
  predictHumMixing,
  predictHumRanges,
} from "../cause-kind.js";
import { computeHumShare, getDeviation, isOutlier } from "../path-evidence.js";

/** Magnetic fields and currents in a shield are at the mains frequency and its odd multiples. */
/** From here on hum shows in other readings too. */
const grossDb = 20;

export const groundHum: CauseKind = {
  id: "ground-hum",
  name: "open shield or ground: mains hum",
  kind: "fault",
  prior: 0.07,
  confirmBy:
    "swap the cable with a sibling's and record again; if the hum stays, measure the socket's shield and the strip's ground to the frame, desk off",
  ready: "a known good cable, ground braid, solder for the socket",
  confusedWith: [
    {
      cause: "supply-ripple",
      check:
        "listen to the pitch: a hum at the mains frequency is a field or a ground, one an octave up is the supply",
    },
    { cause: "open-leg", check: "an open leg loses 6 dB as well" },
  ],
  predict(path) {
    const odd = getDeviation(path, "humOdd") ?? getDeviation(path, "hum");
    const even = getDeviation(path, "humEven") ?? -1;
    if (odd === undefined || odd < 1.5) return undefined;
    const mostly = isOutlier(path, "noise", "up") && (computeHumShare(path) ?? 0) > 0.5;
    if (!mostly && !isOutlier(path, "humOdd", "up") && !isOutlier(path, "hum", "up"))
      return undefined;
    return {
      moves: {
        ...predictHissRanges([-1, 2]),
        ...((odd ?? 0) > grossDb || (even ?? 0) > grossDb ? predictHumMixing() : {}),
        ...predictHumRanges([1, 70], [-2, Math.max(2, odd - 4)]),
        noise: [-1, 80],
        noiseA: [-1, 40],
      },
      evidence: [
        `mains and its odd multiples ${formatDb(odd)}${even > 0 ? `, even ones ${formatDb(even)}` : ", even ones as the siblings'"}`,
      ],
    };
  },
};
