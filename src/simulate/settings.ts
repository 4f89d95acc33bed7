import { type Fault, interpolateGeometric } from "./fault.js";
import { quantity } from "./quantity.js";
import type { PathValues } from "./types.js";

function equaliserWords(equaliser: PathValues["equaliser"]): string {
  if (equaliser === "out") return "out";
  const { gainDb, centreHz } = equaliser;
  return `in, ${gainDb.toFixed(1)} dB at ${quantity(centreHz, "Hz")}`;
}

/** What is wrong with a path because of how it was set or patched: no part has failed. */
export const settings = {
  "low-cut-in": {
    kind: "setting",
    what: "low-cut left in",
    part: "low-cut switch",
    apply: (values, severity) => ({
      ...values,
      lowCut: { cornerHz: interpolateGeometric(50, 120, severity), order: 3 },
    }),
    show: ({ lowCut }) => (lowCut === "out" ? "out" : `in, ${quantity(lowCut.cornerHz, "Hz")}`),
  },
  "equaliser-in": {
    kind: "setting",
    what: "equaliser left in",
    part: "equaliser",
    apply: (values, severity) => ({
      ...values,
      equaliser: {
        shape: "peak",
        centreHz: 2500,
        gainDb: interpolateGeometric(1.5, 9, severity),
        q: 0.9,
      },
    }),
    show: ({ equaliser }) => equaliserWords(equaliser),
  },
  "equaliser-middle-in": {
    kind: "setting",
    what: "equaliser left in, about 1 kHz",
    part: "equaliser",
    apply: (values, severity) => ({
      ...values,
      equaliser: {
        shape: "peak",
        centreHz: interpolateGeometric(800, 1300, severity),
        gainDb: interpolateGeometric(2, 9, severity),
        q: 1.2,
      },
    }),
    show: ({ equaliser }) => equaliserWords(equaliser),
  },
  "equaliser-bass-in": {
    kind: "setting",
    what: "equaliser left in, bass up",
    part: "equaliser",
    apply: (values, severity) => ({
      ...values,
      equaliser: {
        shape: "low-shelf",
        centreHz: 120,
        gainDb: interpolateGeometric(1.5, 9, severity),
        q: Math.SQRT1_2,
      },
    }),
    show: ({ equaliser }) => equaliserWords(equaliser),
  },
  "equaliser-treble-in": {
    kind: "setting",
    what: "equaliser left in, treble down",
    part: "equaliser",
    apply: (values, severity) => ({
      ...values,
      equaliser: {
        shape: "high-shelf",
        centreHz: 5000,
        gainDb: -interpolateGeometric(1.5, 9, severity),
        q: Math.SQRT1_2,
      },
    }),
    show: ({ equaliser }) => equaliserWords(equaliser),
  },
  "pad-in": {
    kind: "setting",
    what: "pad left in",
    part: "pad switch",
    apply: (values) => ({ ...values, padGain: values.padGain / 10 }),
    show: ({ padGain }) => `${(20 * Math.log10(padGain)).toFixed(0)} dB before the input`,
  },
  "fader-off-mark": {
    kind: "setting",
    what: "fader off its mark",
    part: "fader",
    apply: (values, severity) => ({ ...values, faderDb: -interpolateGeometric(1.5, 12, severity) }),
    show: ({ faderDb }) => `${faderDb.toFixed(1)} dB`,
  },
  "nothing-patched": {
    kind: "patch",
    what: "nothing patched into the input",
    part: "contacts of the plug",
    apply: (values) => ({
      ...values,
      hot: { ...values.hot, contactOhm: 1e12 },
      cold: { ...values.cold, contactOhm: 1e12 },
    }),
    show: ({ hot }) => quantity(hot.contactOhm, "Ω"),
  },
} satisfies Record<string, Fault<PathValues>>;
