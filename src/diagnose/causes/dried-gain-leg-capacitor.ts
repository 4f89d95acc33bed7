import { remainingCapacitance } from "../capacitance.js";
import { deviation } from "../case.js";
import { type CauseKind, db, hz } from "../kind.js";
import { fitRollOff } from "../shapes.js";

/**
 * The capacitor under the gain resistor of a non-inverting stage: below its corner the gain falls
 * at first order towards one. In a stage of high gain it carries only the input's millivolts and
 * hardly distorts; its corner moves when the gain is turned.
 */
const leastCornerHz = 6;
/** Sources below this go through a stage of high gain. */
const highGainDbu = -10;

export const driedGainLegCapacitor: CauseKind = {
  id: "dried-gain-leg-capacitor",
  name: "dried capacitor in a gain or feedback leg",
  kind: "fault",
  prior: 0.1,
  confirmBy:
    "record again with 10 dB less gain: a corner that moves down is in the gain leg, one that stays is a coupling capacitor",
  predict(path) {
    if (!path.response) return undefined;
    const fit = fitRollOff(path.response, "low", 1);
    if (fit.hz < leastCornerHz || fit.hz > 900) return undefined;
    const highGain = path.inputDbu !== undefined && path.inputDbu < highGainDbu;
    const distortion = deviation(path, "thd100");
    const evidence = [
      `low end falls as by one capacitor, corner near ${hz(fit.hz)} (${db(fit.shape(20))} at 20 Hz)`,
    ];
    if (distortion !== undefined && distortion < 3) {
      evidence.push("no more distortion at 100 Hz: the capacitor carries little voltage");
    }
    return {
      moves: {
        thd100: highGain ? [-3, 6] : [-3, 12],
        thd: [-1, 3],
        noise: [-12, 1],
        hum: [-12, 1],
        humOdd: [-12, 1],
        humEven: [-8, 1],
        noiseSlope: [-0.5, 6],
      },
      response: fit.shape,
      fitted: 1,
      evidence,
      ready: `electrolytics of the gain stage's values${remainingCapacitance(path, fit.hz)}`,
    };
  },
};
