import { isAbsent } from "../absence.js";
import type { ReadingKind } from "../reading-kind.js";
import { computeResponse } from "../sweep.js";

const fromHz = 300;
const toHz = 3000;
const points = 60;
/** Radians; a path's own phase is well within this in the middle of the band. */
const clearRad = Math.PI / 3;
/** Of the fitted constant, between its limit and the middle, where either answer is as likely. */
const clearDeviations = 3;

/**
 * Polarity: +1 normal, −1 inverted. The phase between 300 Hz and 3 kHz is fitted by a delay and a
 * constant; the constant is near 0 or near π. In between it is undecided.
 */
export const polarity: ReadingKind<"polarity"> = {
  id: "polarity",
  name: "polarity",
  unit: "",
  definition: "1 normal, −1 inverted: phase of the response from 300 Hz to 3 kHz",
  source: "common practice",
  segment: "sweep",
  aspect: "polarity",
  role: "polarity",
  values: {
    names: [
      { value: 1, name: "normal" },
      { value: -1, name: "inverted" },
    ],
    unlike: "inverted",
  },
  harm: "both",
  least: 1,
  evidence: { group: "polarity", order: 20 },
  shared: {
    order: 10,
    group: "polarity",
    aspect: "polarity",
    harm: "both",
    scatter: 0.1,
    least: 1,
  },
  share: "turn",
  closing: { most: 0 },
  read(context) {
    const answer = context.sweep();
    if (isAbsent(answer)) return answer;
    let last = 0;
    let turns = 0;
    let weights = 0;
    let sumF = 0;
    let sumP = 0;
    let sumFF = 0;
    let sumFP = 0;
    for (let k = 0; k < points; k++) {
      const hz = fromHz + ((toHz - fromHz) * k) / (points - 1);
      const point = computeResponse(answer, hz);
      if (k > 0) {
        const step = point.phase - last;
        if (step > Math.PI) turns--;
        else if (step < -Math.PI) turns++;
      }
      last = point.phase;
      const phase = point.phase + 2 * Math.PI * turns;
      const weight = 1 / (1e-6 + (point.stdDev ?? 0) ** 2);
      weights += weight;
      sumF += weight * hz;
      sumP += weight * phase;
      sumFF += weight * hz * hz;
      sumFP += weight * hz * phase;
    }
    const spread = weights * sumFF - sumF * sumF;
    if (clearDeviations * Math.sqrt(sumFF / spread) > Math.PI / 2 - clearRad) {
      return { absent: { code: "sweep-in-noise", where: "middle" } };
    }
    const slope = (weights * sumFP - sumF * sumP) / spread;
    const constant = (sumP - slope * sumF) / weights;
    const turned = Math.abs(Math.atan2(Math.sin(constant), Math.cos(constant)));
    if (turned < clearRad) return { value: 1, unit: "", uncertainty: 0 };
    if (turned > Math.PI - clearRad) return { value: -1, unit: "", uncertainty: 0 };
    return { absent: { code: "between-polarities" } };
  },
};
