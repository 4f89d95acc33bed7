import type { ReadingKind } from "../reading-kind.js";
import type { ResponseEnd } from "../roll-off.js";

function cornerKind(id: string, name: string, end: ResponseEnd): ReadingKind {
  return {
    id,
    name,
    unit: "Hz",
    harm: "none",
    least: 0,
    segment: "sweep",
    read(context) {
      const found = context.rollOff(end);
      if (typeof found === "string") return { absent: found };
      const { corner } = found;
      if ("absent" in corner) return corner;
      return { value: corner.hz, unit: "Hz", uncertainty: corner.uncertainty };
    },
  };
}

function orderKind(id: string, name: string, end: ResponseEnd): ReadingKind {
  return {
    id,
    name,
    unit: "",
    harm: "none",
    least: 0,
    segment: "sweep",
    read(context) {
      const found = context.rollOff(end);
      if (typeof found === "string") return { absent: found };
      const { order } = found;
      return "absent" in order ? order : { ...order, unit: "" };
    },
  };
}

/** Lower −3 dB corner against 1 kHz. */
export const cornerLow = cornerKind("cornerLow", "lower corner", "low");

/** Upper −3 dB corner against 1 kHz. */
export const cornerHigh = cornerKind("cornerHigh", "upper corner", "high");

/** Steepness of the lower roll-off in orders of 6 dB per octave: 1 is one capacitor. */
export const orderLow = orderKind("orderLow", "order of the lower roll-off", "low");

/** Steepness of the upper roll-off. */
export const orderHigh = orderKind("orderHigh", "order of the upper roll-off", "high");
