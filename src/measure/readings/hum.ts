import { powerDb } from "../../dsp/decibels.js";
import { linePower } from "../../dsp/welch.js";
import type { ReadingKind } from "../kind.js";

const lines = 10;
/** What a line between bins spills out of its width, decibels at 95 %. */
const methodDb = 0.02;

/**
 * Hum: power in the first ten multiples of the mains frequency, the noise under them taken off.
 */
export const hum: ReadingKind = {
  id: "hum",
  name: "hum",
  unit: "dBFS",
  harm: "up",
  least: 4,
  segment: "silence",
  own: { adds: "phase" },
  read(context) {
    const spectrum = context.silence();
    if (typeof spectrum === "string") return { absent: spectrum };
    let power = 0;
    let deviation = 0;
    for (let n = 1; n <= lines; n++) {
      const line = linePower(spectrum, n * context.audio.mainsHz);
      power += line.power;
      deviation = Math.hypot(deviation, line.deviation);
    }
    const clear = power > 3 * deviation;
    const value = powerDb(2 * (clear ? power : Math.max(0, power) + 2 * deviation));
    if (!Number.isFinite(value)) {
      return { absent: "the silence is digital zero: nothing was recorded" };
    }
    if (!clear) return { value, unit: "dBFS", uncertainty: 6, limitedBy: "noise" };
    return {
      value,
      unit: "dBFS",
      uncertainty: Math.hypot(methodDb, powerDb(1 + (2 * deviation) / power)),
    };
  },
};
