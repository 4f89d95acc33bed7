import { amplitudeDb, nepersDb } from "../../dsp/decibels.js";
import type { ReadingKind } from "../kind.js";
import { responseAt, type SweepAnswer } from "../sweep.js";

/** Points per octave at which the response is searched for its corners. */
const perOctave = 48;
const halfPowerDb = 10 * Math.log10(2);
/** The sweep carries too little below and above this share of its edges. */
const lowestShare = 2;
const highestShare = 0.965;

/**
 * Where the response falls 3.01 dB below that at 1 kHz, walking away from 1 kHz; between two
 * points the corner is interpolated on a logarithmic scale.
 */
function corner(
  id: "cornerLow" | "cornerHigh",
  name: string,
  direction: -1 | 1,
  edge: (answer: SweepAnswer) => number,
  words: string,
): ReadingKind {
  return {
    id,
    name,
    unit: "Hz",
    harm: "none",
    least: 0,
    segment: "sweep",
    read(context) {
      const answer = context.sweep();
      if (typeof answer === "string") return { absent: answer };
      const reference = responseAt(answer, 1000).magnitude;
      if (!(reference > 0)) return { absent: "nothing of the sweep came back" };
      const edgeHz = edge(answer);
      let nearHz = 1000;
      let nearDb = 0;
      for (let n = 1; ; n++) {
        const hz = 1000 * 2 ** ((direction * n) / perOctave);
        if (direction < 0 ? hz < edgeHz : hz > edgeHz) break;
        const point = responseAt(answer, hz);
        const db = amplitudeDb(point.magnitude / reference);
        if (db <= -halfPowerDb) {
          const share = (-halfPowerDb - nearDb) / (db - nearDb);
          const value = nearHz * (hz / nearHz) ** share;
          // decibels per neper of frequency here turn the level's doubt into the corner's
          const slope = Math.abs((db - nearDb) / Math.log(hz / nearHz));
          const levelDb = Math.hypot(0.01, 2 * nepersDb * (point.deviation ?? 0));
          return { value, unit: "Hz", uncertainty: (value * levelDb) / slope };
        }
        nearHz = hz;
        nearDb = db;
      }
      return { absent: `${words} ${Math.round(edgeHz)} Hz` };
    },
  };
}

/** Lower −3 dB corner. */
export const cornerLow = corner(
  "cornerLow",
  "lower corner",
  -1,
  (answer) => lowestShare * answer.sweep.fromHz,
  "lies below",
);

/** Upper −3 dB corner. */
export const cornerHigh = corner(
  "cornerHigh",
  "upper corner",
  1,
  (answer) => highestShare * answer.sweep.toHz,
  "lies above",
);
