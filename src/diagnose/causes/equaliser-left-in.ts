import {
  type CauseKind,
  type DeviationRange,
  formatDb,
  formatHz,
  predictHissRanges,
} from "../cause-kind.js";
import { findLargestCurveScore } from "../path-evidence.js";
import { fitBell, fitShelf } from "../shapes.js";

/**
 * No equaliser of a desk lifts or cuts by more, decibels (common practice: 12 to 18); what falls on
 * and on is a capacitor's.
 */
const mostDb = 24;

/** An equaliser lifts or cuts by shelves and bells; no ageing part lifts, or dips and recovers. */
export const equaliserLeftIn: CauseKind = {
  id: "equaliser-left-in",
  name: "equaliser left in or off centre",
  kind: "setting",
  prior: 0.1,
  confirmBy: "switch the equaliser out, centre its controls and record this path again",
  confusedWith: [
    {
      cause: "high-loss",
      check: "switch the equaliser out: a loss that stays is a capacitance or a cable",
    },
    {
      cause: "dried-gain-leg-capacitor",
      check: "switch the equaliser out: a thin low end that stays is a capacitor",
    },
  ],
  predict(path) {
    const { response } = path;
    if (!response || Math.abs(findLargestCurveScore(path, 20, 20_000)) < 3.5) return undefined;
    const shelves = [fitShelf(response, "low"), fitShelf(response, "high")];
    const bell = fitBell(response);
    const kinds = ["shelf at the low end", "shelf at the high end", "bell"];
    const fits = [...shelves, bell];
    const within = fits.filter((one) => Math.abs(one.db) <= mostDb);
    if (within.length === 0) return undefined;
    const fit = within.reduce((a, b) => (b.restDb < a.restDb ? b : a));
    const best = fits.indexOf(fit);
    if (Math.abs(fit.db) < 0.8) return undefined;
    const size = Math.abs(fit.db);
    const along: DeviationRange = fit.db > 0 ? [-1, size + 1] : [-size - 1, 1];
    return {
      moves: {
        // what is lifted lifts its noise, what is cut cuts it
        ...predictHissRanges(along),
        hum: along,
        humOdd: along,
        humEven: along,
        noiseSlope: [-3, 3],
        thd: [-size - 1, size + 1],
        thd100: [-size - 1, size + 1],
        thdHot: [-size - 3, size + 3],
        imd: [-2 * size - 1, 2 * size + 1],
        gain: [-size, size],
        headroom: [-size - 1, size + 1],
        compression: [-size, 0.3],
      },
      response: fit.shape,
      fitted: best === 2 ? 3 : 2,
      evidence: [`response ${formatDb(fit.db)}, a ${kinds[best]} near ${formatHz(fit.hz)}`],
    };
  },
};
