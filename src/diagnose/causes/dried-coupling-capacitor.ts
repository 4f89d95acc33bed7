import { formatCapacitanceLeft } from "../capacitance.js";
import { type CauseKind, formatDb, formatHz } from "../cause-kind.js";
import { getDeviation, isOutlier } from "../path-evidence.js";
import { fitRollOffShape } from "../shapes.js";

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
  confusedWith: [
    {
      cause: "dried-gain-leg-capacitor",
      check: "record again with 10 dB less gain: a coupling capacitor's corner stays",
    },
    {
      cause: "low-cut-left-in",
      check:
        "switch the low-cut to and fro: a filter falls 12 or 18 dB per octave and does not distort",
    },
  ],
  predict(path) {
    if (!path.response) return undefined;
    const fit = fitRollOffShape(path.response, "low", 1);
    if (fit.hz < leastCornerHz) return undefined;
    const evidence = [
      `low end falls as by one capacitor, corner near ${formatHz(fit.hz)} (${formatDb(fit.shape(20))} at 20 Hz)`,
    ];
    const distortion = getDeviation(path, "thd100");
    if (distortion !== undefined && isOutlier(path, "thd100", "up")) {
      evidence.push(
        `distortion at 100 Hz ${formatDb(distortion)}: the capacitor carries signal voltage`,
      );
    }
    // The share of the signal that stands across it at 1 kHz goes with the corner, and what it
    // distorts of it with the square or the cube of that.
    const at1k = 12 + 50 * Math.max(0, Math.log10(fit.hz / 50));
    return {
      moves: {
        thd100: [2, 65],
        thd: [-1, at1k],
        thdHot: [-1, at1k],
        gain: [-10 * Math.log10(1 + (fit.hz / 1000) ** 2) - 0.5, 0],
        noise: [-12, 1],
        hum: [-12, 1],
        humOdd: [-12, 1],
        humEven: [-8, 1],
        noiseSlope: [-0.5, 6],
      },
      response: fit.shape,
      fitted: 1,
      evidence,
      ready: `electrolytics of the strip's coupling values${formatCapacitanceLeft(path, fit.hz)}`,
    };
  },
};
