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
 * @property {number} firstRoundFrom severity from which it can be seen where no round is older.
 *   What some paths share, the others show; what all share may be what such a desk is, up to a
 *   noise near −70 dBu, a hum near −57 dBu, a loss of 3 dB at 50 Hz, 0.1 % of distortion (common
 *   practice, and meant to be beyond doubt)
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
  "feed-smoothing-dried": { kinds: feed, hides: ["hum"], firstRoundFrom: 0 },
  "feed-capacitors-dried": { kinds: feed, hides: ["hum"], firstRoundFrom: 0 },
  "feed-rails-low": { kinds: feed, hides: ["distortion"], firstRoundFrom: 0 },
  "ribbon-contacts-tarnished": { kinds: ribbon, hides: ["level"], firstRoundFrom: 0 },
  "ribbon-ground-open": { kinds: [...ribbon, "mains"], hides: ["hum"], firstRoundFrom: 0 },
  "group-resistor-open": { kinds: group, hides: ["level"], firstRoundFrom: 0 },
  "group-resistor-high": { kinds: group, hides: ["level"], firstRoundFrom: 0 },
  "group-noise": { kinds: group, hides: ["noise", "hum"], firstRoundFrom: 0 },
  "batch-distorting": { kinds: batch, hides: ["distortion"], firstRoundFrom: 0 },
  "batch-noisy": { kinds: batch, hides: ["noise", "hum"], firstRoundFrom: 0 },
  "input-hum": { kinds: [...input, "mains"], hides: ["hum", "noise"], firstRoundFrom: 0.3 },
  "input-level-off": { kinds: [...input, "level"], hides: ["level"], firstRoundFrom: 0 },
  "input-noise": { kinds: input, hides: ["noise", "hum"], firstRoundFrom: 0.4 },
  "bus-noise": { kinds: afterStrips, hides: ["noise", "hum", "distortion"], firstRoundFrom: 0.7 },
  "bus-treble-loss": { kinds: afterStrips, hides: ["treble"], firstRoundFrom: 0 },
  "master-bass-loss": { kinds: afterStrips, hides: ["bass"], firstRoundFrom: 0.4 },
  "master-clipping": {
    kinds: [...afterStrips, "desk-supply"],
    hides: ["distortion"],
    firstRoundFrom: 0,
  },
  "master-rail-missing": {
    kinds: [...afterStrips, "desk-supply"],
    hides: ["distortion"],
    firstRoundFrom: 0,
  },
  "master-distortion": { kinds: afterStrips, hides: ["distortion"], firstRoundFrom: 0.2 },
  "master-ripple": { kinds: deskSupply, hides: ["hum", "noise"], firstRoundFrom: 0.3 },
  "desk-reservoir-dried": {
    kinds: deskSupply,
    hides: ["hum"],
    firstRoundFrom: Number.POSITIVE_INFINITY,
  },
  "desk-rails-low": { kinds: deskSupply, hides: ["distortion"], firstRoundFrom: 0 },
  "earth-lifted": { kinds: mains, hides: ["hum", "noise"], firstRoundFrom: 0 },
  "interface-hum": { kinds: mains, hides: ["hum", "noise"], firstRoundFrom: 0 },
  "interface-noise": {
    kinds: afterStrips,
    hides: ["noise", "hum", "distortion"],
    firstRoundFrom: 0.5,
  },
  "interface-bass-loss": { kinds: afterStrips, hides: ["bass"], firstRoundFrom: 0.4 },
  "bad-cable": { kinds: afterStrips, hides: ["treble", "level"], firstRoundFrom: 0 },
  "playing-level": {
    kinds: ["level", "interface", "master"],
    hides: ["level"],
    firstRoundFrom: Number.POSITIVE_INFINITY,
  },
  "level-touched": {
    kinds: ["level", "master", "interface"],
    hides: ["level"],
    firstRoundFrom: 0,
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
