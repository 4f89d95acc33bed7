import { deviation, humShare, stands } from "../case.js";
import { type CauseKind, db, hissMoves, humMixesInto, humMoves } from "../kind.js";

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
    const odd = deviation(path, "humOdd") ?? deviation(path, "hum");
    const even = deviation(path, "humEven") ?? -1;
    if (odd === undefined || odd < 1.5) return undefined;
    const mostly = stands(path, "noise", "up") && (humShare(path) ?? 0) > 0.5;
    if (!mostly && !stands(path, "humOdd", "up") && !stands(path, "hum", "up")) return undefined;
    return {
      moves: {
        ...hissMoves([-1, 2]),
        ...((odd ?? 0) > grossDb || (even ?? 0) > grossDb ? humMixesInto() : {}),
        ...humMoves([1, 70], [-2, Math.max(2, odd - 4)]),
        noise: [-1, 80],
        noiseA: [-1, 40],
      },
      evidence: [
        `mains and its odd multiples ${db(odd)}${even > 0 ? `, even ones ${db(even)}` : ", even ones as the siblings'"}`,
      ],
    };
  },
};
