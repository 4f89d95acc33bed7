/**
 * What may be hidden in a virtual desk, and which diagnoses are right for it: the only place where
 * the simulator's names (src/simulate) and the diagnosis' ids (src/diagnose) meet.
 *
 * Where a circuit cannot be told from another by what comes back, several diagnoses are right, and
 * the reason stands beside them.
 */
import { faults } from "../../dist/simulate/faults.js";

/**
 * @typedef {object} Hideable
 * @property {"path" | "strip" | "either"} reach what it strikes: one input, or a part that all
 *   inputs of the strip share; a switch of the strip may have been set for one recording only
 * @property {readonly string[]} right ids that a person would call right
 * @property {readonly string[]} [itself] those of `right` that name what is there, where others
 *   are right only since nobody could tell
 * @property {readonly string[]} [alike] ids that are right too, where `alikeWhen` holds
 * @property {(where: Where) => boolean} [alikeWhen]
 * @property {"fault" | "setting" | "patch"} kind
 * @property {"graded" | "whole"} extent `whole` where it is there or not there, without a severity
 *
 * @typedef {object} Where
 * @property {string} input
 * @property {"capacitor" | "direct"} output of the desk
 */

/** Noise of the bus drowns that of a line stage, so nothing tells on which side of it level was lost. */
const underTheBus = ({ input }) => input !== "mic";

/** The output capacitor keeps DC voltages inside the desk. */
const behindCapacitor = ({ output }) => output === "capacitor";

/** @type {Record<string, Omit<Hideable, "kind" | "extent"> & { extent?: "whole" }>} */
const placed = {
  // At one setting of the gain, one capacitor in series with one resistance is like another: only
  // a second round at another gain shows whose corner moves.
  "dried-coupling": {
    reach: "path",
    right: ["dried-coupling-capacitor", "dried-gain-leg-capacitor"],
    itself: ["dried-coupling-capacitor"],
  },
  // At one setting of the gain, as above.
  "drying-coupling": {
    reach: "path",
    right: ["dried-coupling-capacitor", "dried-gain-leg-capacitor"],
    itself: ["dried-coupling-capacitor"],
  },
  "series-resistance": { reach: "strip", right: ["added-series-resistance"] },
  "dried-feedback-leg": {
    reach: "path",
    right: ["dried-gain-leg-capacitor", "dried-coupling-capacitor"],
    itself: ["dried-gain-leg-capacitor"],
  },
  // What is left of it behind an output capacitor is noise that rises towards low frequencies, as
  // that of an op amp does.
  "leaky-coupling": {
    reach: "path",
    right: ["leaky-capacitor"],
    alike: ["noisy-device"],
    alikeWhen: behindCapacitor,
  },
  "open-leg": { reach: "path", right: ["open-leg"] },
  "noisy-input-device": { reach: "path", right: ["noisy-device"] },
  "flicker-noise": { reach: "path", right: ["noisy-device"] },
  "missing-rail": { reach: "path", right: ["early-clipping"] },
  "low-rails": { reach: "path", right: ["early-clipping"] },
  "shifted-bias": { reach: "path", right: ["smooth-distortion"] },
  "high-frequency-loss": { reach: "strip", right: ["high-loss"] },
  // A resistance off value and a knob off its mark give the same gain.
  "gain-off-value": { reach: "path", right: ["worn-gain-control", "gain-off"] },
  "worn-gain-control": { reach: "path", right: ["worn-gain-control"] },
  "swapped-wiring": { reach: "path", right: ["polarity-reversed"], extent: "whole" },
  "dead-stage": { reach: "path", right: ["no-signal"], extent: "whole" },
  "dirty-contact": { reach: "path", right: ["dirty-contact"] },
  "dirty-jack": { reach: "path", right: ["dirty-contact"] },
  // Ripple has even lines, fields and ground loops odd ones: they can be told apart.
  "supply-ripple": { reach: "strip", right: ["supply-ripple"] },
  "open-shield": { reach: "path", right: ["ground-hum"] },
  oscillation: { reach: "path", right: ["oscillation"] },
  crossover: { reach: "path", right: ["crossover-distortion"] },
  "low-cut-in": { reach: "either", right: ["low-cut-left-in"] },
  "equaliser-in": { reach: "either", right: ["equaliser-left-in"] },
  "equaliser-middle-in": { reach: "either", right: ["equaliser-left-in"] },
  "equaliser-bass-in": { reach: "either", right: ["equaliser-left-in"] },
  "equaliser-treble-in": { reach: "either", right: ["equaliser-left-in"] },
  "fader-off-mark": { reach: "either", right: ["gain-off"] },
  "pad-in": {
    reach: "path",
    right: ["pad-in"],
    alike: ["gain-off"],
    alikeWhen: underTheBus,
    extent: "whole",
  },
  // A live mic stage without a source is heard to hiss, a line stage is not heard at all.
  "nothing-patched": {
    reach: "path",
    right: ["nothing-patched"],
    alike: ["no-signal"],
    alikeWhen: underTheBus,
    extent: "whole",
  },
};

/**
 * Errors of patching that are made by exchanging captures, always between inputs of different
 * kinds: that a capture is another healthy sibling's cannot be seen, and does no harm.
 */
const exchanged = {
  "wrong-path": { reach: "path", right: ["wrong-path-recorded"] },
  // From one of the two paths alone a swap looks like any other wrong path.
  "takes-swapped": {
    reach: "path",
    right: ["takes-swapped", "wrong-path-recorded"],
    itself: ["takes-swapped"],
  },
};

/** @type {Readonly<Record<string, Hideable>>} */
export const hideables = Object.fromEntries([
  ...Object.entries(placed).map(([name, one]) => [
    name,
    { extent: "graded", ...one, kind: faults[name].kind },
  ]),
  ...Object.entries(exchanged).map(([name, one]) => [
    name,
    { extent: "whole", ...one, kind: "patch" },
  ]),
]);

/**
 * The diagnoses that are right for what is hidden at a path.
 *
 * @param {string} name of {@link hideables}
 * @param {Where} where
 * @returns {readonly string[]}
 */
export function rightAnswers(name, where) {
  const { right, alike = [], alikeWhen } = hideables[name];
  return alikeWhen?.(where) ? [...right, ...alike] : right;
}

/**
 * The diagnoses that name what is hidden and nothing that is merely like it: a probability is right
 * when it says how often that is so.
 *
 * @param {string} name of {@link hideables}
 * @returns {readonly string[]}
 */
export function exactAnswers(name) {
  const { right, itself = right } = hideables[name];
  return itself;
}
