import { remainingCapacitance } from "../capacitance.js";
import { deviation, stands } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";
import { fitRollOff } from "../shapes.js";

/**
 * A capacitor in series with a resistance is a first-order high-pass at 1/(2πRC): less
 * capacitance moves the corner up in inverse proportion, 6 dB per octave below it. The signal's
 * own volts then stand across the capacitor at low frequency, and an electrolytic distorts them.
 */
const leastCornerHz = 6;

export const driedCouplingCapacitor: CauseKind = {
  id: "dried-coupling-capacitor",
  name: "dried coupling capacitor",
  kind: "fault",
  prior: 0.12,
  confirmBy:
    "bridge the coupling capacitors of the strip with a good one, one after the other, while a 30 Hz tone plays: the level jumps up at the dry one",
  predict(path) {
    if (!path.response) return undefined;
    const fit = fitRollOff(path.response, "low", 1);
    if (fit.hz < leastCornerHz || fit.hz > 900) return undefined;
    const evidence = [
      `low end falls as by one capacitor, corner near ${hz(fit.hz)} (${db(fit.shape(20))} at 20 Hz)`,
    ];
    const distortion = deviation(path, "thd100");
    if (distortion !== undefined && stands(path, "thd100", "up")) {
      evidence.push(`distortion at 100 Hz ${db(distortion)}: the capacitor carries signal voltage`);
    }
    return {
      moves: {
        thd100: [4, 45],
        thd: [-1, 12],
        noise: [-12, 1],
        hum: [-12, 1],
        humOdd: [-12, 1],
        humEven: [-8, 1],
        noiseSlope: [-0.5, 6],
      },
      response: fit.shape,
      fitted: 1,
      evidence,
      ready: `electrolytics of the strip's coupling values${remainingCapacitance(path, fit.hz)}`,
    };
  },
};
