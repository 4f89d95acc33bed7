import type { Cause } from "../../diagnose/types.js";

/** Causes in a word or two, short enough for a cell of the map. */
const shortWords: Readonly<Record<string, string>> = {
  "crossover-distortion": "crossover",
  "dirty-contact": "contact",
  "dried-coupling-capacitor": "capacitor",
  "dried-gain-leg-capacitor": "capacitor",
  "early-clipping": "clipping",
  "equaliser-left-in": "EQ in",
  "gain-off": "gain off",
  "ground-hum": "hum",
  "high-loss": "high loss",
  "leaky-capacitor": "leaky cap",
  "low-cut-left-in": "low-cut",
  "no-signal": "no signal",
  "noisy-device": "noisy",
  "nothing-patched": "unpatched",
  "open-leg": "open leg",
  oscillation: "oscillation",
  "pad-in": "pad in",
  "polarity-reversed": "polarity",
  "supply-ripple": "ripple",
  "takes-swapped": "swapped",
  "worn-gain-control": "worn pot",
  "wrong-path-recorded": "mix-up",
};

const longest = 12;

/** The cause in a word; of one that has none here, the beginning of its name. */
export function formatCauseWord({ cause, name }: Cause): string {
  const word = Object.hasOwn(shortWords, cause) ? shortWords[cause] : name.split(/[:,(]/)[0];
  return word.length <= longest ? word : `${word.slice(0, longest - 1)}…`;
}

/** "dried coupling capacitor (96 %)". */
export function formatCauseText({ name, probability }: Cause): string {
  return probability === undefined ? name : `${name} (${formatPercent(probability)})`;
}

export function formatPercent(share: number): string {
  return `${Math.round(100 * share)}\u00A0%`;
}
