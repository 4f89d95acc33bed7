/**
 * What a shared fault of the simulator (src/simulate/shared-faults.ts) is to be called: the only
 * place where its names and the kinds of shared parts in a round meet.
 *
 * Where a circuit cannot be told from another by what comes back, several kinds are right.
 */

/**
 * @typedef {object} SharedTruth
 * @property {readonly string[]} kinds of a shared part that a person would call right
 * @property {readonly Domain[]} hides what cannot be judged on a single path underneath it
 * @property {"shows" | "may not"} firstRound whether it can be seen where no round is older: what
 *   all paths share may still be what such a desk is
 *
 * @typedef {"hum" | "noise" | "level" | "bass" | "treble" | "distortion"} Domain
 */

/** Neighbouring strips, whatever it is that they share. */
const feed = ["supply", "bank"];
const ribbon = ["ribbon", "bank"];
const group = ["group", "bank"];
const batch = ["bank", "family"];
const input = ["input", "family"];
/** Without a path that avoids the bus, nothing tells it from what follows. */
const afterStrips = ["bus", "master", "interface"];
const mains = ["mains", "interface", "master"];
const deskSupply = ["desk-supply", "master", "bus"];

/** @type {Readonly<Record<string, SharedTruth>>} */
export const sharedTruths = {
  "feed-smoothing-dried": { kinds: feed, hides: ["hum"], firstRound: "shows" },
  "feed-capacitors-dried": { kinds: feed, hides: ["hum"], firstRound: "shows" },
  "feed-rails-low": { kinds: feed, hides: ["distortion"], firstRound: "shows" },
  "ribbon-contacts-tarnished": { kinds: ribbon, hides: ["level"], firstRound: "shows" },
  "ribbon-ground-open": { kinds: [...ribbon, "mains"], hides: ["hum"], firstRound: "shows" },
  "group-resistor-open": { kinds: group, hides: ["level"], firstRound: "shows" },
  "group-resistor-high": { kinds: group, hides: ["level"], firstRound: "shows" },
  "group-noise": { kinds: group, hides: ["noise", "hum"], firstRound: "shows" },
  "batch-distorting": { kinds: batch, hides: ["distortion"], firstRound: "shows" },
  "batch-noisy": { kinds: batch, hides: ["noise", "hum"], firstRound: "shows" },
  "input-hum": { kinds: [...input, "mains"], hides: ["hum", "noise"], firstRound: "shows" },
  "input-level-off": { kinds: [...input, "level"], hides: ["level"], firstRound: "shows" },
  "input-noise": { kinds: input, hides: ["noise", "hum"], firstRound: "shows" },
  "bus-noise": { kinds: afterStrips, hides: ["noise", "hum", "distortion"], firstRound: "shows" },
  "bus-treble-loss": { kinds: afterStrips, hides: ["treble"], firstRound: "shows" },
  "master-bass-loss": { kinds: afterStrips, hides: ["bass"], firstRound: "shows" },
  "master-clipping": {
    kinds: [...afterStrips, "desk-supply"],
    hides: ["distortion"],
    firstRound: "shows",
  },
  "master-rail-missing": {
    kinds: [...afterStrips, "desk-supply"],
    hides: ["distortion"],
    firstRound: "shows",
  },
  "master-distortion": { kinds: afterStrips, hides: ["distortion"], firstRound: "shows" },
  "master-ripple": { kinds: deskSupply, hides: ["hum", "noise"], firstRound: "shows" },
  "desk-reservoir-dried": { kinds: deskSupply, hides: ["hum"], firstRound: "may not" },
  "desk-rails-low": { kinds: deskSupply, hides: ["distortion"], firstRound: "shows" },
  "earth-lifted": { kinds: mains, hides: ["hum", "noise"], firstRound: "shows" },
  "interface-hum": { kinds: mains, hides: ["hum", "noise"], firstRound: "shows" },
  "interface-noise": {
    kinds: afterStrips,
    hides: ["noise", "hum", "distortion"],
    firstRound: "shows",
  },
  "interface-bass-loss": { kinds: afterStrips, hides: ["bass"], firstRound: "shows" },
  "bad-cable": { kinds: afterStrips, hides: ["treble", "level"], firstRound: "shows" },
  "playing-level": {
    kinds: ["level", "interface", "master"],
    hides: ["level"],
    firstRound: "may not",
  },
  "level-touched": {
    kinds: ["level", "master", "interface"],
    hides: ["level"],
    firstRound: "shows",
  },
};

/**
 * Single faults that the quick signal shows on a path, from which severity on, what else must be
 * sound for that, and the word of the notebook for what is heard.
 */
export const singleFaults = {
  "dried-coupling": { from: 0.35, domain: ["bass"], symptom: "thin" },
  "high-frequency-loss": { from: 0.3, domain: ["treble"], symptom: "dull" },
  "swapped-wiring": { from: 0, domain: [], symptom: undefined },
  "dead-stage": { from: 0, domain: [], symptom: "dead" },
  "gain-off-value": { from: 0.4, domain: ["level"], symptom: "quiet" },
  "noisy-input-device": { from: 0.4, domain: ["noise"], symptom: "hiss" },
  "open-shield": { from: 0.4, domain: ["hum"], symptom: "hum" },
  crossover: { from: 0.4, domain: ["distortion"], symptom: "distorted" },
};
