import { type CauseKind, formatDb, formatHz } from "../cause-kind.js";
import { fitRollOffShape } from "../shapes.js";

/** Shunt capacitance against a source resistance is a first-order low-pass at 1/(2πRC). */
const highestCornerHz = 60_000;

export const highLoss: CauseKind = {
  id: "high-loss",
  name: "high-frequency loss: shunt capacitance or failing cable",
  kind: "fault",
  prior: 0.06,
  confirmBy:
    "on one input alone, swap its cable with a sibling's and record again; a loss that stays, or is on all inputs, is a leaking film or ceramic capacitor to ground",
  ready: "a known good cable, film and ceramic capacitors of the strip's small values",
  confusedWith: [
    {
      cause: "equaliser-left-in",
      check:
        "switch the equaliser out, then swap the cable: what stays through both is in the strip",
    },
  ],
  predict(path) {
    if (!path.response) return undefined;
    const fit = fitRollOffShape(path.response, "high", 1);
    if (fit.hz > highestCornerHz) return undefined;
    const loss = Math.max(0, -fit.shape(20_000));
    return {
      moves: {
        hiss: [-loss, 1],
        noiseA: [-loss, 1],
        noise: [-loss, 1],
        thd: [-loss - 1, 3],
        thdHot: [-loss - 1, 3],
        thd100: [-2, 2],
        imd: [-2 * loss - 2, loss + 10],
        gain: [-3, 0.3],
      },
      response: fit.shape,
      fitted: 1,
      evidence: [
        `treble falls as by one capacitor to ground, corner near ${formatHz(fit.hz)} (${formatDb(fit.shape(20_000))} at 20 kHz)`,
      ],
    };
  },
};
